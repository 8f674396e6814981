using System.Collections.Immutable;
using Stencilwright.Geometry;

namespace Stencilwright.Design;

/// <summary>Proposes where the film is taped and where magnets hold it on its frame.</summary>
/// <remarks>
/// Common practice, no source: the film is hinged with tape along one edge that lies on the frame, the longest with room, and
/// held down along the opposite one; tape lies half on the film and half on the frame and stays off the pocket. Magnets sit on
/// the film in the corners of what lies on the frame, as far from the pocket as there is room, out of the squeegee's way.
/// </remarks>
internal static class HoldingPlaces
{
    /// <summary>Common width of adhesive tape.</summary>
    public const double TapeMm = 19;

    /// <summary>Diameter of a common disc magnet.</summary>
    public const double MagnetMm = 10;

    // Tape needs this much of the frame beyond the film's edge to stick to, and of the film to hold it.
    private const double LeastGripMm = 5;
    private const double OffPocketMm = 2;
    private const double OffEdgeMm = 1;

    public static ImmutableArray<HoldingPlace> Of(Bounds2 film, Bounds2 pocket, Bounds2 frame)
    {
        var places = ImmutableArray.CreateBuilder<HoldingPlace>();
        var on = new Bounds2(Math.Max(film.MinX, frame.MinX), Math.Max(film.MinY, frame.MinY), Math.Min(film.MaxX, frame.MaxX), Math.Min(film.MaxY, frame.MaxY));
        if (on.IsEmpty || film.IsEmpty || pocket.IsEmpty)
        {
            return [];
        }

        var strips = new List<(Bounds2 Box, double Length, int Side)>(4);
        AddStrip(strips, 0, film.MinX - frame.MinX, pocket.MinX - film.MinX, on.Height, (o, i) => new(film.MinX - o, on.MinY, film.MinX + i, on.MaxY));
        AddStrip(strips, 1, frame.MaxX - film.MaxX, film.MaxX - pocket.MaxX, on.Height, (o, i) => new(film.MaxX - i, on.MinY, film.MaxX + o, on.MaxY));
        AddStrip(strips, 2, frame.MaxY - film.MaxY, film.MaxY - pocket.MaxY, on.Width, (o, i) => new(on.MinX, film.MaxY - i, on.MaxX, film.MaxY + o));
        AddStrip(strips, 3, film.MinY - frame.MinY, pocket.MinY - film.MinY, on.Width, (o, i) => new(on.MinX, film.MinY - o, on.MaxX, film.MinY + i));
        var hinge = -1;
        for (var i = 0; i < strips.Count; i++)
        {
            hinge = hinge < 0 || strips[i].Length > strips[hinge].Length + 1e-9 ? i : hinge;
        }

        for (var i = 0; i < strips.Count; i++)
        {
            // The two ends beside the hinge stay free, or the film could not be lifted.
            if (i == hinge || strips[i].Side / 2 == strips[hinge].Side / 2)
            {
                places.Add(new HoldingPlace(i == hinge ? HoldingKind.Hinge : HoldingKind.Tape, Region.Of(Contour.Rectangle(strips[i].Box))));
            }
        }

        AddMagnets(places, on, pocket, [.. places.Select(p => p.Shape.Bounds)]);
        return places.ToImmutable();
    }

    private static void AddStrip(List<(Bounds2 Box, double Length, int Side)> strips, int side, double outside, double inside, double length, Func<double, double, Bounds2> box)
    {
        var (o, i) = (Math.Min(TapeMm / 2, outside - OffEdgeMm), Math.Min(TapeMm / 2, inside - OffPocketMm));
        if (o >= LeastGripMm && i >= LeastGripMm)
        {
            strips.Add((box(o, i), length, side));
        }
    }

    // Off the tape where there is room beside it; a magnet may also hold down what is taped.
    private static void AddMagnets(ImmutableArray<HoldingPlace>.Builder places, Bounds2 on, Bounds2 pocket, ImmutableArray<Bounds2> tapes)
    {
        var r = MagnetMm / 2;
        var room = on.Inflate(-OffEdgeMm - r);
        var keepOff = pocket.Inflate(OffPocketMm + r);
        if (room.IsEmpty)
        {
            return;
        }

        foreach (var (x, y) in (ReadOnlySpan<(double, double)>)[(room.MinX, room.MinY), (room.MaxX, room.MinY), (room.MaxX, room.MaxY), (room.MinX, room.MaxY)])
        {
            var at = new Point2(x, y);
            foreach (var tape in tapes)
            {
                var beside = x < on.Center.X ? tape.MaxX + r + OffEdgeMm : tape.MinX - r - OffEdgeMm;
                var box = tape.Inflate(r);
                if (box.Contains(at) && tape.Width < tape.Height && !keepOff.Contains(new Point2(beside, y)))
                {
                    at = new(beside, y);
                }
            }

            if (!keepOff.Contains(at))
            {
                places.Add(new HoldingPlace(HoldingKind.Magnet, Region.Of(Contour.Circle(at, r))));
            }
        }
    }
}
