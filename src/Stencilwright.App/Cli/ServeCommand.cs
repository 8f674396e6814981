using System.CommandLine;
using System.Globalization;
using System.Net;
using System.Net.Sockets;
using Microsoft.Data.Sqlite;
using Stencilwright.App.Web;
using Stencilwright.App.Web.Safety;
using Stencilwright.Workbench;
using Stencilwright.Workbench.Workshop;

namespace Stencilwright.App.Cli;

/// <summary>The command <c>serve</c>.</summary>
internal sealed class ServeCommand
{
    private readonly CommandLineDoor _door;
    private readonly Option<string?> _listen = new("--listen");
    private readonly Option<string?> _port = new("--port");
    private readonly Option<string?> _data = new("--data");
    private readonly Option<bool> _newPassword = new("--new-password");
    private readonly Option<bool> _quiet;

    public ServeCommand(CommandLineDoor door, Options options)
    {
        (_door, _quiet) = (door, options.Quiet);
        Command = new Command("serve") { _listen, _port, _data, _newPassword, options.Quiet, options.NoColor };
        Command.SetAction(Run);
    }

    public Command Command { get; }

    private int Run(ParseResult parsed)
    {
        var terminal = _door.For(parsed);
        if (!IPAddress.TryParse(parsed.GetValue(_listen) ?? "127.0.0.1", out var address))
        {
            terminal.SayUsage($"--listen takes an address of this machine, such as 127.0.0.1 or 0.0.0.0 for all, not {parsed.GetValue(_listen)}.");
            return ExitCodes.Usage;
        }

        var port = ServerChoice.UsualPort;
        if (parsed.GetValue(_port) is { } text && (!int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out port) || port > ushort.MaxValue))
        {
            terminal.SayUsage($"--port takes a number from 0 (any free one) to 65535, not {text}.");
            return ExitCodes.Usage;
        }

        var folder = parsed.GetValue(_data) is { Length: > 0 } given ? new WorkshopFolder(Path.GetFullPath(given)) : WorkshopFolder.OfUser();
        var hasStore = false;
        try
        {
            using var store = new JobStore(folder);
            hasStore = true;
            var choice = new ServerChoice(address, port, folder, CommandLineDoor.Version);
            using var app = WorkshopServer.Build(choice, store);
            if (parsed.GetValue(_newPassword))
            {
                app.Services.GetRequiredService<PasswordGate>().Reset();
            }

            app.Start();
            if (!parsed.GetValue(_quiet))
            {
                Say(terminal, choice, WorkshopServer.AddressOf(app), app.Services.GetRequiredService<PasswordGate>());
            }

            Practice.Begin(app.Services.GetRequiredService<OpenJobs>());
            app.WaitForShutdown();
            return ExitCodes.Done;
        }
        catch (Exception failure) when (failure is SqliteException or UnauthorizedAccessException or IOException { InnerException: SqliteException } || (failure is IOException && !hasStore))
        {
            terminal.Error.WriteLine($"stencilwright: error: the workshop's folder {Printable.Text(folder.Root)} cannot be used ({Printable.Text(failure.Message)}); free it, or name another with --data.");
            return ExitCodes.NotWritten;
        }
        catch (Exception failure) when (failure is IOException or SocketException)
        {
            terminal.Error.WriteLine($"stencilwright: error: {address} port {port.ToString(CultureInfo.InvariantCulture)} cannot be listened on ({Printable.Text(failure.Message)}); {(failure is IOException ? "take another with --port" : "name an address of this machine with --listen, or a port that you may open with --port")}.");
            return ExitCodes.NotWritten;
        }
    }

    private static void Say(Terminal terminal, ServerChoice choice, Uri address, PasswordGate gate)
    {
        terminal.Out.WriteLine($"The workshop is open at {address.AbsoluteUri.TrimEnd('/')}");
        if (!choice.IsLocal)
        {
            terminal.Out.WriteLine(gate.IsSet
                ? "Others on this network can reach it, and need its password."
                : $"Others on this network can reach it. To set its password, open it and give the code {gate.FirstCode}.");
            terminal.Out.WriteLine("It speaks plain HTTP: outside a network you trust, put a reverse proxy with TLS in front of it.");
        }

        terminal.Out.WriteLine($"Jobs are kept in {Printable.Text(choice.Folder.Root)}. Ctrl+C closes it.");
        terminal.Out.Flush();
    }
}
