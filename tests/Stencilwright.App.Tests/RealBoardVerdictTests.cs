using System.Text.Json;
using Stencilwright.App.Cli;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.App.Tests;

/// <summary>
/// Verdicts on real boards against what an experienced person would expect of them (common practice, no source): the table
/// in <c>docs/printability.md</c>.
/// </summary>
public sealed class RealBoardVerdictTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("stencilwright-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [InlineData("mixed-pads", "top", 0, 0)]
    [InlineData("page-frame", "top", 0, 0)]
    [InlineData("paired-svg", "top", 0, 0)]
    [InlineData("hatched-pads", "top", 0, 0)]
    [InlineData("outline-with-dimensions", "top", 0, 0)]
    [InlineData("old-codes", "top", 0, 0)]
    [InlineData("old-codes", "bottom", 0, 0)]
    [InlineData("modal-lines", "top", 0, 0)]
    [InlineData("modal-lines", "bottom", 40, 0)]
    [InlineData("outline-on-artwork", "top", 153, 20)]
    [InlineData("outline-on-artwork", "bottom", 0, 20)]
    public void Verdicts_are_what_a_person_expects(string board, string side, int marginal, int failing)
    {
        var openings = Side(board, side).GetProperty("apertures").EnumerateArray().ToList();
        Assert.Equal(failing, openings.Count(o => o.GetProperty("verdict").GetString() == "will not print"));
        Assert.InRange(openings.Count(o => o.GetProperty("verdict").GetString() == "marginal"), 0, marginal);
    }

    // Chips of 0402 and larger print whatever else a board holds; what fails on the dense one are its 01005 chips.
    [Theory]
    [InlineData("outline-on-artwork", "top")]
    [InlineData("outline-on-artwork", "bottom")]
    [InlineData("paired-svg", "top")]
    public void Chips_of_usual_sizes_print_and_the_smallest_do_not(string board, string side)
    {
        foreach (var part in Side(board, side).GetProperty("parts").EnumerateArray())
        {
            var size = part.GetProperty("sizeImperial").GetString();
            var verdict = part.GetProperty("verdict").GetString();
            if (size is "0402" or "0603" or "0805" or "1206")
            {
                Assert.Equal("prints", verdict);
            }

            if (verdict == "will not print")
            {
                Assert.Equal("01005", size);
            }
        }
    }

    private JsonElement Side(string board, string side)
    {
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        using var output = new StringWriter();
        using var error = new StringWriter();
        var to = Path.Combine(_folder, "out");
        var code = new CommandLineDoor(new Terminal { Out = output, Error = error }, UseCases.Real)
            .Run(["prepare", Path.Combine(RealBoards.Folder, board), "--out", to, "--side", side, "--fail-on", "never"]);
        Assert.True(code == 0, error.ToString());
        using var report = JsonDocument.Parse(File.ReadAllBytes(Path.Combine(to, "report.json")));
        return report.RootElement.GetProperty("sides")[0].Clone();
    }
}
