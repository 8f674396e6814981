using System.Text.Json;
using Stencilwright.App.Cli;
using Stencilwright.Foundation;
using Stencilwright.Testing;
using Stencilwright.Workbench;
using Xunit;

namespace Stencilwright.App.Tests;

public sealed class CommandLineTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("stencilwright-").FullName;

    private static string Blinky => Path.Combine(RealBoards.CheckoutRoot, "samples", "blinky");

    private static string TwoSide => Path.Combine(RealBoards.CheckoutRoot, "samples", "twoside");

    private string Out => Path.Combine(_folder, "out");

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [InlineData("root", "--help")]
    [InlineData("survey", "survey", "--help")]
    [InlineData("prepare", "prepare", "--help")]
    public void Help_reads_as_approved(string name, params string[] args)
    {
        var run = Run(args);
        Assert.Equal((0, ""), (run.Code, run.Error));
        Approve.Text(run.Out, name: "help-" + name);
    }

    [Fact]
    public void The_version_is_one_line()
    {
        var run = Run("--version");
        Assert.Equal((0, $"stencilwright {CommandLineDoor.Version}\n"), (run.Code, run.Out));
    }

    [Theory]
    [InlineData("did you mean survey?", "surwey", "x")]
    [InlineData("did you mean --json?", "survey", "x", "--jsn")]
    [InlineData("did you mean bottom?", "survey", "x", "--side", "botom")]
    [InlineData("did you mean warning?", "survey", "x", "--fail-on", "warnin")]
    [InlineData("did you mean paste-top?", "survey", "x", "--role", "a.gbr=paste-tip")]
    [InlineData("FILE=ROLE", "survey", "x", "--role", "paste-top")]
    [InlineData("needs --out DIR", "prepare", "x")]
    [InlineData("needs a package", "survey")]
    [InlineData("did you mean kerf_x_mm?", "prepare", "x", "--out", "y", "--set", "kerfx_mm=0.1")]
    [InlineData("less than 2 mm", "prepare", "x", "--out", "y", "--set", "kerf_x_mm=3")]
    [InlineData("name=value", "prepare", "x", "--out", "y", "--set", "kerf_x_mm")]
    public void A_mistake_on_the_command_line_is_exit_2_and_says_what_was_meant(string expected, params string[] args)
    {
        var run = Run(args);
        Assert.Equal((2, ""), (run.Code, run.Out));
        Assert.Contains(expected, run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void No_arguments_show_the_help_and_are_exit_2()
    {
        var run = Run();
        Assert.Equal(2, run.Code);
        Assert.Contains("Usage:", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void A_path_that_does_not_exist_is_exit_3_and_named()
    {
        var run = Run("survey", Path.Combine(_folder, "nothing.zip"));
        Assert.Equal(3, run.Code);
        Assert.Contains("nothing.zip: error: PKG", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void A_bad_job_file_is_exit_3_with_line_and_column()
    {
        var job = Path.Combine(_folder, "job.toml");
        File.WriteAllText(job, "scale_x = 1.001\nkerf_x_mm = 5\n");
        var run = Run("prepare", Blinky, "--out", Out, "--job", job);
        Assert.Equal(3, run.Code);
        Assert.Contains("job.toml:2:13: error: SET004: kerf_x_mm must be at least 0 and less than 2 mm, not 5.", run.Error, StringComparison.Ordinal);
        Assert.Equal(3, Run("prepare", Blinky, "--out", Out, "--job", Path.Combine(_folder, "none.toml")).Code);
        Assert.False(Directory.Exists(Out));
    }

    [Fact]
    public void A_survey_names_every_file_s_role_and_the_board()
    {
        var run = Run("survey", TwoSide, "--json");
        Assert.Equal((0, ""), (run.Code, run.Error));
        using var json = JsonDocument.Parse(run.Out);
        var files = json.RootElement.GetProperty("files").EnumerateArray().ToDictionary(f => f.GetProperty("file").GetString()!, StringComparer.Ordinal);
        Assert.Equal(
            ["copper-bottom", "mask-bottom", "paste-bottom", "outline", "copper-top", "mask-top", "paste-top"],
            files.Values.Select(f => f.GetProperty("role").GetString()));
        var paste = files.Single(f => f.Key.EndsWith("twoside-bottom-paste.gbr", StringComparison.Ordinal)).Value;
        // Ten chips of two pads and eight pins.
        Assert.Equal(28, paste.GetProperty("islandCount").GetInt32());
        Assert.Equal(28, paste.GetProperty("featureCount").GetInt32());
        Assert.Equal(0, paste.GetProperty("setAside").GetProperty("count").GetInt32());
        // A stadium of 50 × 30, less a half disc of radius 4, a disc of 2.5, and a slot of 6 × 3 with round ends.
        var expected = (20 * 30) + (Math.PI * 15 * 15) - (Math.PI * 4 * 4 / 2) - (Math.PI * 2.5 * 2.5) - (6 * 3) - (Math.PI * 1.5 * 1.5);
        var board = json.RootElement.GetProperty("board");
        Assert.Equal(expected, board.GetProperty("outlineAreaMm2").GetDouble(), 6);
        Assert.Equal((50.0, 30.0, 2), (
            Math.Round(board.GetProperty("widthMm").GetDouble(), 6), Math.Round(board.GetProperty("heightMm").GetDouble(), 6), board.GetProperty("cutoutCount").GetInt32()));
    }

    [Fact]
    public void A_survey_gives_no_format_for_a_file_that_is_none()
    {
        File.WriteAllText(Path.Combine(_folder, "notes.txt"), "Panel of two, please.");
        File.Copy(Path.Combine(Blinky, "blinky-outline.gbr"), Path.Combine(_folder, "blinky-outline.gbr"));
        using var json = JsonDocument.Parse(Run("survey", _folder, "--json").Out);
        var files = json.RootElement.GetProperty("files").EnumerateArray().ToDictionary(f => f.GetProperty("file").GetString()!, StringComparer.Ordinal);
        Assert.False(files["notes.txt"].TryGetProperty("format", out _));
        Assert.Equal("ignore", files["notes.txt"].GetProperty("role").GetString());
        Assert.Equal("gerber", files["blinky-outline.gbr"].GetProperty("format").GetString());
    }

    [Fact]
    public void A_survey_for_people_is_an_aligned_table()
    {
        var run = Run("survey", Blinky);
        Assert.Equal(0, run.Code);
        var lines = run.Out.Split('\n');
        var at = lines[0].IndexOf("Role", StringComparison.Ordinal);
        Assert.Equal(["outline", "copper-top", "mask-top", "paste-top"], lines[1..5].Select(l => l[at..].Split(' ')[0]));
        Assert.Contains("Board: 24 × 16 mm", run.Out, StringComparison.Ordinal);
    }

    [Fact]
    public void Preparing_writes_the_files_and_tells_a_person_what_was_made()
    {
        var run = Run("prepare", Blinky, "--out", Out);
        Assert.Equal(0, run.Code);
        foreach (var file in (string[])["report.json", "traveller.pdf", "top/film.svg", "top/film.dxf", "top/film.nc", "top/frame.svg", "top/template.pdf", "top/preview.png", "top/apertures.csv"])
        {
            Assert.True(new FileInfo(Path.Combine(Out, file)) is { Exists: true, Length: > 0 }, file);
        }

        Assert.False(Directory.Exists(Path.Combine(Out, "bottom")));
        Assert.Contains("Top:    33 openings:", run.Out, StringComparison.Ordinal);
    }

    [Fact]
    public void Preparing_twice_gives_the_same_bytes_and_json_is_the_report()
    {
        var first = Run("prepare", TwoSide, "--out", Out, "--json");
        var second = Run("prepare", TwoSide, "--out", Out + "2", "--json");
        Assert.Equal((first.Code, first.Out), (second.Code, second.Out));
        Assert.Equal(File.ReadAllText(Path.Combine(Out, "report.json")), first.Out);
        foreach (var file in Directory.GetFiles(Out, "*", SearchOption.AllDirectories))
        {
            Assert.True(File.ReadAllBytes(file).AsSpan().SequenceEqual(File.ReadAllBytes(Path.Combine(Out + "2", Path.GetRelativePath(Out, file)))), file);
        }
    }

    [Fact]
    public void A_side_can_be_asked_for_alone()
    {
        Assert.Equal(0, Run("prepare", TwoSide, "--out", Out, "--side", "bottom", "--fail-on", "never").Code);
        Assert.False(Directory.Exists(Path.Combine(Out, "top")));
        Assert.True(File.Exists(Path.Combine(Out, "bottom", "film.svg")));
    }

    [Fact]
    public void A_board_that_does_not_fit_its_blank_is_exit_1_and_that_side_is_not_written()
    {
        var run = Run("prepare", Blinky, "--out", Out, "--set", "film_blank_mm=10x10");
        Assert.Equal(1, run.Code);
        Assert.False(File.Exists(Path.Combine(Out, "top", "film.svg")));
        Assert.True(File.Exists(Path.Combine(Out, "report.json")));
    }

    [Fact]
    public void Findings_reach_exit_1_only_at_the_severity_asked_for()
    {
        var finding = new Finding { Code = "BRD001", Severity = Severity.Warning, Message = "Look." };
        PrepareResult With(JobRequest request) => new() { Findings = [finding], ExitCode = ExitCodes.ForFindings([finding], [], request.FailOn) };
        Assert.Equal(0, Run(UseCases.Real with { Prepare = (r, _, _) => With(r) }, "prepare", "x", "--out", "y").Code);
        Assert.Equal(1, Run(UseCases.Real with { Prepare = (r, _, _) => With(r) }, "prepare", "x", "--out", "y", "--fail-on", "warning").Code);
    }

    [Fact]
    public void A_folder_that_cannot_be_written_is_exit_4()
    {
        var file = Path.Combine(_folder, "taken");
        File.WriteAllText(file, "mine");
        var run = Run("prepare", Blinky, "--out", file);
        Assert.Equal((4, ""), (run.Code, run.Out));
        Assert.Contains("error: PKG090: cannot be written", run.Error, StringComparison.Ordinal);
        Assert.Equal("mine", File.ReadAllText(file));
    }

    [Fact]
    public void A_fault_of_the_program_is_exit_5_with_a_sentence_and_no_stack()
    {
        var failing = UseCases.Real with { Survey = (_, _, _) => throw new InvalidOperationException("inner detail") };
        var run = Run(failing, "survey", "x");
        Assert.Equal(5, run.Code);
        Assert.Contains("the program itself failed", run.Error, StringComparison.Ordinal);
        Assert.DoesNotContain("   at ", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void A_package_may_come_through_standard_input()
    {
        var paste = Path.Combine(Blinky, "blinky-top-paste.gbr");
        using var output = new StringWriter { NewLine = "\n" };
        using var error = new StringWriter { NewLine = "\n" };
        var terminal = new Terminal { Out = output, Error = error, OpenInput = () => File.OpenRead(paste) };
        Assert.Equal(0, new CommandLineDoor(terminal, UseCases.Real).Run(["survey", "-", "--json"]));
        using var json = JsonDocument.Parse(output.ToString());
        Assert.Equal(33, Assert.Single(json.RootElement.GetProperty("files").EnumerateArray()).GetProperty("islandCount").GetInt32());
    }

    [Fact]
    public void Standard_input_is_read_for_one_board_only()
    {
        var run = Run("prepare", "-", "--beside", "-", "--out", Path.Combine(_folder, "twice"));
        Assert.Equal(2, run.Code);
        Assert.Contains("only one - can be read", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void Unsafe_characters_are_shown_by_their_code() =>
        Assert.Equal("\\u{1B}[2Jgone\\u{202E}.zip é", Printable.Text("\u001b[2Jgone\u202e.zip é"));

    [Fact]
    public void Control_characters_in_a_file_name_do_not_reach_the_terminal()
    {
        var run = Run("survey", Path.Combine(_folder, "\u001b[2Jgone\u202e.zip"));
        Assert.Equal(3, run.Code);
        Assert.DoesNotContain('\u001b', run.Error);
        Assert.DoesNotContain('\u202e', run.Error);
        Assert.Contains("[2Jgone", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void Colour_and_progress_appear_on_a_terminal_only_and_not_when_refused()
    {
        string[] args = ["survey", Path.Combine(_folder, "none.zip")];
        Assert.Contains('\u001b', Run(UseCases.Real, true, args).Error);
        Assert.DoesNotContain('\u001b', Run(UseCases.Real, true, [.. args, "--no-color"]).Error);
        Assert.DoesNotContain('\u001b', Run(UseCases.Real, false, args).Error);
    }

    private static (int Code, string Out, string Error) Run(params string[] args) => Run(UseCases.Real, args);

    private static (int Code, string Out, string Error) Run(UseCases useCases, params string[] args) => Run(useCases, false, args);

    private static (int Code, string Out, string Error) Run(UseCases useCases, bool isTerminal, string[] args)
    {
        using var output = new StringWriter { NewLine = "\n" };
        using var error = new StringWriter { NewLine = "\n" };
        var code = new CommandLineDoor(new Terminal { Out = output, Error = error, ErrorIsTerminal = isTerminal }, useCases).Run(args);
        return (code, output.ToString(), error.ToString());
    }
}
