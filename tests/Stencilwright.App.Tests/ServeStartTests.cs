using System.Globalization;
using System.Net;
using System.Net.Sockets;
using Stencilwright.App.Cli;
using Stencilwright.Workbench;
using Stencilwright.Workbench.Workshop;
using Xunit;

namespace Stencilwright.App.Tests;

/// <summary>A workshop that cannot open says so in one line, with what to do, and ends with the code for what cannot be written.</summary>
public sealed class ServeStartTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("serve-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void A_file_in_the_place_of_the_data_folder_is_told() => Refused("cannot be used", "--data", Ordinary());

    [Fact]
    public void A_folder_that_cannot_be_made_is_told() => Refused("cannot be used", "--data", Path.Combine(Ordinary(), "below"));

    [Fact]
    public void A_folder_that_may_not_be_written_is_told()
    {
        Assert.SkipWhen(OperatingSystem.IsWindows(), "Folders have no mode there.");
        var closed = Path.Combine(_folder, "closed");
        if (!OperatingSystem.IsWindows())
        {
            Directory.CreateDirectory(closed, UnixFileMode.UserRead | UnixFileMode.UserExecute);
        }

        // Rights do not bind the superuser, but nobody makes folders among the system's processes.
        Refused("cannot be used", "--data", Environment.IsPrivilegedProcess ? "/proc/none" : closed);
    }

    [Fact]
    public void A_database_that_is_none_is_told()
    {
        File.WriteAllText(Path.Combine(_folder, "workshop.db"), new string('x', 9000));
        Refused("cannot be used", "--data", _folder);
    }

    [Fact]
    public void A_folder_over_which_another_workshop_is_open_is_told()
    {
        using var other = new JobStore(new WorkshopFolder(_folder));
        Refused("another workshop is open", "--data", _folder);
    }

    [Fact]
    public void A_port_that_is_taken_is_told_and_a_bad_folder_before_it()
    {
        using var taken = new TcpListener(IPAddress.Loopback, 0);
        taken.Start();
        var port = ((IPEndPoint)taken.LocalEndpoint).Port.ToString(CultureInfo.InvariantCulture);
        Refused("cannot be listened on", "--data", _folder, "--port", port);
        Refused("cannot be used", "--data", Ordinary(), "--port", port);
    }

    // 192.0.2.0/24 is nobody's: RFC 5737, section 3.
    [Fact]
    public void An_address_of_another_machine_is_told() => Refused("--listen", "--data", _folder, "--listen", "192.0.2.1", "--port", "0");

    private string Ordinary()
    {
        var file = Path.Combine(_folder, "ordinary");
        File.WriteAllText(file, "no folder");
        return file;
    }

    private static void Refused(string words, params string[] more)
    {
        using var output = new StringWriter { NewLine = "\n" };
        using var error = new StringWriter { NewLine = "\n" };
        var code = new CommandLineDoor(new Terminal { Out = output, Error = error, ErrorIsTerminal = false }, UseCases.Real).Run(["serve", .. more]);
        Assert.Equal((ExitCodes.NotWritten, ""), (code, output.ToString()));
        var line = Assert.Single(error.ToString().Split('\n', StringSplitOptions.RemoveEmptyEntries));
        Assert.StartsWith("stencilwright: error: ", line, StringComparison.Ordinal);
        Assert.Contains(words, line, StringComparison.Ordinal);
    }
}
