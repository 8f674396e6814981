using System.Globalization;
using System.Text;
using CsCheck;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Artwork.Tests.Drill;

/// <summary>Random holes and slots, written in a random dialect by a writer of the tests' own, come back as they were.</summary>
public sealed class DrillPropertyTests
{
    /// <summary>How a file is written.</summary>
    private sealed record Dialect(
        bool IsInch, int Integers, int Decimals, int Zeros, bool IsIncremental, bool ToolsInBody, bool IsModal, bool SlotsRouted, string End, int ToolDigits, bool SaysFormatInComment);

    /// <summary>Places in whole counts of the last decimal; a slot where the end differs.</summary>
    private readonly record struct Mark(int Tool, int X, int Y, int EndX, int EndY);

    private static readonly Gen<Dialect> _dialect = Gen.Select(
        Gen.Bool, Gen.Int[0, 3], Gen.Int[0, 3], Gen.Int[0, 31], Gen.OneOf(Gen.Const("\n"), Gen.Const("\r\n"), Gen.Const("\r")), Gen.Int[1, 3],
        (inch, format, zeros, flags, end, toolDigits) => new Dialect(
            inch,
            inch ? 2 : format == 1 ? 4 : 3,
            inch ? (format == 0 ? 5 : 4) : format switch { 0 => 2, 1 => 4, _ => 3 },
            zeros,
            (flags & 1) != 0, (flags & 2) != 0, (flags & 4) != 0, (flags & 8) != 0, end, toolDigits, (flags & 16) != 0));

    // Steps between places must not need more digits than places do.
    private static readonly Gen<Mark[]> _marks = Gen.Select(Gen.Int[1, 4], Gen.Int[-45_000, 45_000], Gen.Int[-45_000, 45_000], Gen.Int[-3, 3], Gen.Int[0, 9_000],
        (tool, x, y, slot, length) => slot == 3 ? new Mark(tool, x, y, x + length + 1, y - length) : new Mark(tool, x, y, x, y)).Array[1, 40];

    private static readonly double[] _sizesMm = [0, 0.3, 0.8, 1.1, 3.2];

    [Fact]
    public void What_was_written_is_read_back() =>
        Gen.Select(_dialect, _marks).Check(
            (dialect, marks) =>
            {
                var outcome = Drills.Read(Write(dialect, marks));
                Assert.All(outcome.Diagnostics, d => Assert.Contains(d.Code, (string[])["ART214", "ART215", "ART207"]));
                var document = outcome.Value!;
                var count = (dialect.IsInch ? 25.4 : 1) / Math.Pow(10, dialect.Decimals);
                Assert.Equal(marks.Length, document.Items.Length);
                for (var i = 0; i < marks.Length; i++)
                {
                    var (mark, item) = (marks[i], document.Items[i]);
                    Assert.Equal(mark.X * count, item.At.X, 1e-7);
                    Assert.Equal(mark.Y * count, item.At.Y, 1e-7);
                    Assert.Equal(mark.X == mark.EndX, item.IsHole);
                    Assert.Equal(mark.EndX * count, item.Path?.Vertices[^1].X ?? item.At.X, 1e-7);
                    Assert.Equal(mark.EndY * count, item.Path?.Vertices[^1].Y ?? item.At.Y, 1e-7);
                    Assert.Equal(_sizesMm[mark.Tool], document.Tools[item.Tool].DiameterMm, 1e-4);
                }
            },
            iter: 250);

    private static string Write(Dialect dialect, Mark[] marks)
    {
        var text = new StringBuilder();
        void Say(string line) => text.Append(line).Append(dialect.End);
        Say("M48");
        if (dialect.SaysFormatInComment)
        {
            Say(string.Create(CultureInfo.InvariantCulture, $";FILE_FORMAT={dialect.Integers}:{dialect.Decimals}"));
        }

        Say((dialect.IsInch ? "INCH" : "METRIC") + (dialect.Zeros switch { 1 => ",LZ", _ => ",TZ" })
            + (dialect.SaysFormatInComment ? "" : "," + new string('0', dialect.Integers) + "." + new string('0', dialect.Decimals)));
        for (var tool = 1; tool <= 4 && !dialect.ToolsInBody; tool++)
        {
            Say(Tool(dialect, tool) + Size(dialect, tool));
        }

        Say("%");
        Say(dialect.IsIncremental ? "G91" : "G90");
        var (current, x, y, defined) = (0, 0, 0, new HashSet<int>());
        foreach (var mark in marks)
        {
            if (mark.Tool != current)
            {
                current = mark.Tool;
                Say(Tool(dialect, current) + (dialect.ToolsInBody && defined.Add(current) ? Size(dialect, current) : ""));
            }

            var place = Place(dialect, mark.X, mark.Y, x, y);
            (x, y) = (mark.X, mark.Y);
            if (mark.X == mark.EndX)
            {
                Say(place);
                continue;
            }

            var end = Place(dialect, mark.EndX, mark.EndY, x, y);
            (x, y) = (mark.EndX, mark.EndY);
            if (!dialect.SlotsRouted)
            {
                Say(place + "G85" + end);
                continue;
            }

            Say("G00" + place);
            Say("M15");
            Say("G01" + end);
            Say("M16");
            Say("G05");
        }

        Say("M30");
        return text.ToString();
    }

    private static string Tool(Dialect dialect, int number) => "T" + number.ToString("D" + dialect.ToolDigits, CultureInfo.InvariantCulture);

    private static string Size(Dialect dialect, int tool) =>
        "C" + (_sizesMm[tool] / (dialect.IsInch ? 25.4 : 1)).ToString(dialect.IsInch ? "0.000000" : "0.000", CultureInfo.InvariantCulture);

    private static string Place(Dialect dialect, int x, int y, int fromX, int fromY)
    {
        var (dx, dy) = dialect.IsIncremental ? (x - fromX, y - fromY) : (x, y);
        var (keepsX, keepsY) = dialect.IsIncremental ? (dx == 0, dy == 0) : (x == fromX, y == fromY);
        // A line that places something names at least one axis.
        return (dialect.IsModal && keepsX && !keepsY ? "" : "X" + Number(dialect, dx)) + (dialect.IsModal && keepsY ? "" : "Y" + Number(dialect, dy));
    }

    private static string Number(Dialect dialect, int counts)
    {
        var sign = counts < 0 ? "-" : "";
        var all = Math.Abs(counts).ToString("D" + (dialect.Integers + dialect.Decimals), CultureInfo.InvariantCulture);
        return sign + dialect.Zeros switch
        {
            0 => all.TrimStart('0') is { Length: > 0 } shorter ? shorter : "0",
            1 => all.TrimEnd('0') is { Length: > 0 } shorter ? shorter : "0",
            2 => all,
            _ => (Math.Abs(counts) / Math.Pow(10, dialect.Decimals)).ToString("0.0#####", CultureInfo.InvariantCulture),
        };
    }
}
