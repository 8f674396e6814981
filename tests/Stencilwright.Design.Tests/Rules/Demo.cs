using Stencilwright.Boards.Parts;
using Stencilwright.Geometry;

namespace Stencilwright.Design.Tests.Rules;

/// <summary>Invented parts, one of each kind that the default rules know, and boards full of them.</summary>
internal static class Demo
{
    public static void Quad(Sketch sketch, Point2 at, double pitch, int perSide, double length, double width, double reach, PartClass kind, double? thermal = null)
    {
        var pads = new List<int>();
        for (var side = 0; side < 4; side++)
        {
            var turn = Affine2.RotationDegrees(90 * side);
            for (var k = 0; k < perSide; k++)
            {
                var offset = turn.Apply(new Vector2(reach, (k - ((perSide - 1) / 2.0)) * pitch));
                pads.Add(sketch.Box(length, width, at + offset, 90 * side));
            }
        }

        sketch.Part(kind, at, PadFunction.Terminal, pads, pitch);
        if (thermal is { } size)
        {
            sketch.Part(kind, at, PadFunction.ThermalPad, [sketch.Box(size, size, at)]);
        }
    }

    public static void Grid(Sketch sketch, Point2 at, double pitch, int side, double diameter)
    {
        var origin = at - (new Vector2(pitch, pitch) * ((side - 1) / 2.0));
        var balls = Enumerable.Range(0, side * side).Select(i => sketch.Disc(diameter, origin + new Vector2(i % side * pitch, i / side * pitch))).ToList();
        sketch.Part(PartClass.GridArray, at, PadFunction.Terminal, balls, pitch);
    }

    public static Sketch Large(int openings)
    {
        var sketch = new Sketch();
        var vias = new List<HoleCircle>();
        for (var block = 0; sketch.Context().Paste.Openings.Length < openings; block++)
        {
            var at = new Point2(block % 8 * 30, block / 8 * 30);
            Quad(sketch, at, 0.5, 25, 1.25, 0.3, 7.5, PartClass.QuadFlat);
            Quad(sketch, at + new Vector2(18, 0), 0.5, 12, 0.8, 0.28, 3.4, PartClass.QuadNoLead, 5);
            vias.AddRange(Enumerable.Range(0, 9).Select(i => new HoleCircle(at + new Vector2(16.6 + (i % 3 * 1.4), -1.4 + (i / 3 * 1.4)), 0.3)));
            Grid(sketch, at + new Vector2(18, 14), 0.5, 10, 0.3);
            for (var i = 0; i < 30; i++)
            {
                sketch.Chip(0.65, 0.5, 1, at + new Vector2(-8 + (i % 15 * 1.5), 10 + (i / 15 * 2)), 90 * (i % 2), "0402");
                sketch.Chip(0.9, 1.0, 1.7, at + new Vector2(-8 + (i % 15 * 1.5), 15 + (i / 15 * 2)), 90, "0603", 0.1);
            }
        }

        sketch.Holes = [.. vias];
        return sketch;
    }
}
