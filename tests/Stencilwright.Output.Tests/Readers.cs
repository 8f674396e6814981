using System.Globalization;
using System.Text;
using Stencilwright.Geometry;

namespace Stencilwright.Output.Tests;

/// <summary>A path as read back: where the beam went, with what.</summary>
internal sealed record ReadPath(string Layer, List<PathVertex> Vertices, bool IsClosed, double Power = 0, double FeedMmMin = 0);

/// <summary>A reader of release 12 drawings, written from the DXF reference for these tests alone.</summary>
internal static class DxfReader
{
    public static List<ReadPath> Read(byte[] file)
    {
        var lines = Encoding.ASCII.GetString(file).Split('\n');
        var paths = new List<ReadPath>();
        ReadPath? open = null;
        var entity = "";
        double x = 0, y = 0, bulge = 0;
        var inEntities = false;
        for (var i = 0; i + 1 < lines.Length; i += 2)
        {
            var (code, value) = (int.Parse(lines[i], CultureInfo.InvariantCulture), lines[i + 1]);
            if (code == 0)
            {
                if (entity == "VERTEX")
                {
                    open!.Vertices.Add(new(x, y, bulge));
                }

                entity = value;
                (x, y, bulge) = (0, 0, 0);
                if (value == "POLYLINE")
                {
                    Assert.True(inEntities);
                    open = new("", [], false);
                }
                else if (value == "SEQEND")
                {
                    paths.Add(open!);
                }
            }
            else if (code == 2 && value == "ENTITIES")
            {
                inEntities = true;
            }
            else if (entity == "POLYLINE" && code == 8)
            {
                open = open! with { Layer = value };
            }
            else if (entity == "POLYLINE" && code == 70)
            {
                open = open! with { IsClosed = (int.Parse(value, CultureInfo.InvariantCulture) & 1) != 0 };
            }
            else if (entity == "VERTEX" && code is 10 or 20 or 42)
            {
                var number = double.Parse(value, NumberStyles.Float, CultureInfo.InvariantCulture);
                (x, y, bulge) = code == 10 ? (number, y, bulge) : code == 20 ? (x, number, bulge) : (x, y, number);
            }
        }

        Assert.Equal("EOF", entity);
        return paths;
    }
}

/// <summary>An interpreter of the few G-code words that are written: moves, arcs about a centre, beam on and off.</summary>
internal static class GcodeReader
{
    public static List<ReadPath> Read(byte[] file, string on = "M3", string off = "M5")
    {
        var paths = new List<ReadPath>();
        ReadPath? open = null;
        var at = new Point2(0, 0);
        var ended = false;
        foreach (var raw in Encoding.ASCII.GetString(file).Split('\n', StringSplitOptions.RemoveEmptyEntries))
        {
            Assert.False(ended, "Nothing follows M2.");
            if (raw[0] == '(')
            {
                Assert.Equal(raw.Length - 1, raw.IndexOf(')', StringComparison.Ordinal));
                Assert.Equal(0, raw.LastIndexOf('('));
                continue;
            }

            var words = raw.Split(' ');
            double Value(char letter, double otherwise) => words.FirstOrDefault(w => w[0] == letter) is { } word
                ? double.Parse(word[1..], CultureInfo.InvariantCulture) : otherwise;
            var to = new Point2(Value('X', at.X), Value('Y', at.Y));
            if (words[0] == on)
            {
                Assert.Null(open);
                open = new("", [new(at.X, at.Y)], false, Value('S', -1));
            }
            else if (words[0] == off)
            {
                if (open is not null)
                {
                    paths.Add(open);
                }

                open = null;
            }
            else if (words[0] == "G0")
            {
                Assert.Null(open);
            }
            else if (words[0] is "G1" or "G2" or "G3")
            {
                Assert.NotNull(open);
                var bulge = 0.0;
                if (words[0] != "G1")
                {
                    var center = at + new Vector2(Value('I', 0), Value('J', 0));
                    var (r0, r1) = (Point2.Distance(center, at), Point2.Distance(center, to));
                    // NISTIR 6556 (from memory): a controller refuses arcs whose radii differ by more than 0.002 mm.
                    Assert.True(Math.Abs(r0 - r1) < 0.002, $"Radii {r0} and {r1}");
                    var turn = Math.Atan2(to.Y - center.Y, to.X - center.X) - Math.Atan2(at.Y - center.Y, at.X - center.X);
                    turn = words[0] == "G3" ? (turn <= 0 ? turn + (2 * Math.PI) : turn) : turn >= 0 ? turn - (2 * Math.PI) : turn;
                    bulge = Math.Tan(turn / 4);
                }

                open!.Vertices[^1] = open.Vertices[^1] with { Bulge = bulge };
                open.Vertices.Add(new(to.X, to.Y));
                open = open with { FeedMmMin = Value('F', open.FeedMmMin) };
            }
            else if (words[0] == "M2")
            {
                ended = true;
            }

            at = to;
        }

        Assert.True(ended);
        Assert.Null(open);
        return paths;
    }
}
