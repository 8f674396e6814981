using Stencilwright.Boards.Parts;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Boards.Tests.Parts;

/// <summary>How a random board is laid out.</summary>
/// <param name="Seed">Gives the same board again.</param>
/// <param name="PartCount">Parts, about.</param>
/// <param name="BoardDeg">Turn of the whole board.</param>
/// <param name="OddShare">Share of the parts turned by any angle instead of a quarter turn.</param>
/// <param name="JitterMm">Error of every pad's place and size.</param>
/// <param name="ClearanceMm">Least free width between the pads of two parts.</param>
/// <param name="RunShare">Share of the chips that come in rows of equal ones at one pitch.</param>
public sealed record BoardOrder(int Seed, int PartCount, double BoardDeg, double OddShare, double JitterMm, double ClearanceMm, double RunShare);

/// <summary>Boards of random parts, packed on shelves like goods of many sizes.</summary>
public static class RandomBoards
{
    /// <summary>Makes a board.</summary>
    public static TruthBoard Make(BoardOrder order)
    {
        var random = new Random(order.Seed);
        var placed = new List<(RandomPart Part, Affine2 Map)>();
        var widthMm = Math.Max(30, 4.2 * Math.Sqrt(order.PartCount));
        var (x, y, shelf) = (0.0, 0.0, 0.0);
        while (placed.Count < order.PartCount)
        {
            var part = RandomParts.Draw(random);
            var copies = part.Class == PartClass.Chip && random.NextDouble() < order.RunShare ? random.Next(2, 9) : 1;
            var turn = random.NextDouble() < order.OddShare ? Math.Round(random.NextDouble() * 360, 1) : 90 * random.Next(4);
            var box = part.BoxAt(turn);
            var gap = order.ClearanceMm * (0.5 + random.NextDouble());
            for (var k = 0; k < copies; k++)
            {
                if (x + box.Width > widthMm)
                {
                    (x, y, shelf) = (0, y + shelf + (order.ClearanceMm * (1 + random.NextDouble())), 0);
                }

                placed.Add((part, Affine2.Translation(x - box.MinX, y - box.MinY) * Affine2.RotationDegrees(turn)));
                x += box.Width + gap;
                shelf = Math.Max(shelf, box.Height);
            }
        }

        return Layer(order, random, placed);
    }

    /// <summary>A field of equal pads, in which every pad could go with any neighbour: the worst case for time.</summary>
    public static PasteLayer Field(int columns, int rows, double widthMm, double heightMm, double pitchMm, double rowMm) => new()
    {
        Openings =
        [
            .. Enumerable.Range(0, columns * rows).Select(k => Opening(
                new RandomPad(k % columns * pitchMm, k / columns * rowMm, widthMm, heightMm, 0), Affine2.Identity, 0, new Random(1))),
        ],
        SetAside = [],
        Findings = [],
    };

    private static TruthBoard Layer(BoardOrder order, Random random, List<(RandomPart Part, Affine2 Map)> placed)
    {
        var whole = Affine2.RotationDegrees(order.BoardDeg);
        var (openings, parts) = (new List<(PasteOpening Opening, int Part)>(), new List<TruthPart>());
        for (var k = 0; k < placed.Count; k++)
        {
            var map = whole * placed[k].Map;
            foreach (var pad in placed[k].Part.Pads)
            {
                openings.Add((Opening(pad, map, order.JitterMm, random), k));
            }
        }

        // Artwork sorts by aperture and not by part.
        var sorted = openings.OrderBy(o => Math.Round(o.Opening.Shape.AreaMm2, 2)).ThenBy(o => o.Part).ToArray();
        var members = sorted.Select((o, i) => (o.Part, i)).ToLookup(o => o.Part, o => o.i);
        for (var k = 0; k < placed.Count; k++)
        {
            parts.Add(new($"{placed[k].Part.Name}#{k}", [.. members[k].Order()], placed[k].Part.Class, placed[k].Part.Size));
        }

        return new($"random-{order.Seed}", new PasteLayer { Openings = [.. sorted.Select(o => o.Opening)], SetAside = [], Findings = [] }, parts);
    }

    private static PasteOpening Opening(RandomPad pad, Affine2 map, double jitterMm, Random random)
    {
        double Jitter() => ((random.NextDouble() * 2) - 1) * jitterMm;
        var (w, h) = (pad.WidthMm + Jitter(), pad.HeightMm + Jitter());
        var at = map.Apply(new Point2(pad.X, pad.Y)) + new Vector2(Jitter(), Jitter());
        var turned = new Affine2(map.Xx, map.Xy, at.X, map.Yx, map.Yy, at.Y);
        var shape = Region.Of(Shape(w, h, pad.RadiusShare)).Transform(turned);
        var angle = Math.Atan2(map.Yx, map.Xx) * 180 / Math.PI;
        return new PasteOpening { Shape = shape, Place = SourcePlace.Whole("random"), RotationDeg = LongSide(angle, w, h, pad.RadiusShare) };
    }

    // As the sorter tells it: (-90, 90], of a square the side nearer to x, of a circle none.
    private static double LongSide(double angle, double w, double h, double radiusShare)
    {
        if (radiusShare >= 0.5 && Math.Abs(w - h) < 0.02 * w)
        {
            return 0;
        }

        var isSquare = Math.Abs(w - h) < 0.005 * w;
        var turn = Math.IEEERemainder(isSquare ? Math.IEEERemainder(angle, 90) : w >= h ? angle : angle + 90, 180);
        turn = Math.Round(turn <= -90 ? turn + 180 : turn, 2);
        return turn <= -90 ? 90 : turn;
    }

    private static Contour Shape(double w, double h, double radiusShare)
    {
        var r = radiusShare * Math.Min(w, h);
        if (radiusShare >= 0.5 && Math.Abs(w - h) < 0.02 * w)
        {
            return Contour.Circle(default, w / 2);
        }

        var (x, y) = (w / 2, h / 2);
        if (r <= 0)
        {
            return Contour.Rectangle(new(-x, -y, x, y));
        }

        r = Math.Min(r, (Math.Min(w, h) / 2) - 1e-4);
        var quarter = Math.Tan(Math.PI / 8);
        return new Contour([
            new(-x + r, -y), new(x - r, -y, quarter), new(x, -y + r), new(x, y - r, quarter),
            new(x - r, y), new(-x + r, y, quarter), new(-x, y - r), new(-x, -y + r, quarter)]);
    }
}
