using System.Collections.Immutable;
using Stencilwright.Cutting;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Output.Machine;

/// <summary>How a sheet that was found by two of its points lies on the machine.</summary>
/// <param name="TurnRad">From the sheet's x axis to the bed's, counter-clockwise as the operator sees it.</param>
/// <param name="SheetMm">Distance of the two points on the sheet.</param>
/// <param name="MachineMm">Their distance on the machine, its scale and skew taken out.</param>
public sealed record MeasuredPlacement(double TurnRad, double SheetMm, double MachineMm);

/// <summary>From the coordinates of a sheet to those of the machine that cuts it.</summary>
/// <remarks>
/// Between the two lies the bed: millimetres as the operator sees them, x right, y away, zero where the machine's zero is. The
/// machine's own axes are those of the bed or the opposite ones. Told to go to p (in the bed's directions) a machine with
/// wrong scales goes to C p, with C = (scale_x, scale_y·tan skew; 0, scale_y); paths are drawn as C⁻¹ s so that they are
/// cut at s. That holds for the machine's axes: on a sheet turned by R and moved by t the drawing is C⁻¹ (R s + t), which
/// is what this map makes of a path drawn as q = C⁻¹ s.
/// </remarks>
public sealed class MachineMap
{
    private const double FitToleranceMm = RegionTransform.FitToleranceMm;

    // Nearer points tell nothing of the turn: reading a pointer is good to a tenth of a millimetre (common practice, no source).
    private const double NearestMm = 10;

    // From drawn to bed, without mirror; then directions; then the move.
    private readonly Affine2 _toBed;
    private readonly double _signX;
    private readonly double _signY;
    private readonly Vector2 _at;

    private MachineMap(Affine2 toBed, Affine2 correction, JobSettings settings, Vector2 at)
    {
        _toBed = toBed;
        (_signX, _signY) = Signs(settings);
        _at = at;
        var machine = new Affine2(_signX, 0, at.X, 0, _signY, at.Y);
        FromDrawn = machine * toBed;
        FromSheet = FromDrawn * correction;
    }

    /// <summary>From a point of a path of a <see cref="SheetPlan"/> to machine coordinates, millimetres.</summary>
    public Affine2 FromDrawn { get; }

    /// <summary>From a point of the sheet as it lies on the bed to machine coordinates, millimetres.</summary>
    public Affine2 FromSheet { get; }

    /// <summary>How the sheet lies, when two of its points were measured and can be used.</summary>
    public MeasuredPlacement? Placement { get; private init; }

    /// <summary>What is wrong with the two points, in words; null when nothing is, or when there are none.</summary>
    public string? PlacementFault { get; private init; }

    /// <summary>The map of a sheet. A placement that cannot be used leaves the sheet where it would lie without one.</summary>
    /// <param name="sheet"><c>film</c> or <c>frame</c>.</param>
    /// <param name="blank">Its blank.</param>
    /// <param name="settings">Origin, directions and place.</param>
    public static MachineMap Of(string sheet, BlankSize blank, JobSettings settings)
    {
        ArgumentNullException.ThrowIfNull(settings);
        var machine = new Affine2(settings.ScaleX, settings.ScaleY * Math.Tan(settings.SkewMrad / 1000), 0, 0, settings.ScaleY, 0);
        var correction = machine == Affine2.Identity ? machine : machine.Inverse();
        var (placement, fault, lies) = sheet == settings.PlacedSheet ? Measured(machine, settings) : default;
        if (placement is not null)
        {
            return new(correction * lies * machine, correction, settings, default) { Placement = placement };
        }

        // The blank's corner itself lies where it is said to, whatever the scale: it is a thing on the bed, not a place told.
        var corner = correction.Apply(Corner(settings.MachineOrigin, blank));
        var at = Places.TryParse(settings.SheetAtMm, 1, out var place) ? place[0] - new Point2(0, 0) : default;
        return new(Affine2.Translation(-corner.X, -corner.Y), correction, settings, at) { PlacementFault = fault };
    }

    /// <summary>A path in machine coordinates, with the same start and order of points.</summary>
    public CutPath Apply(CutPath path)
    {
        ArgumentNullException.ThrowIfNull(path);
        if (FromDrawn == Affine2.Identity)
        {
            return path;
        }

        var mapped = _toBed.IsSimilarity ? Moved(path) : Fitted(path);
        var turn = _signX * _signY;
        var vertices = ImmutableArray.CreateBuilder<PathVertex>(mapped.Count);
        foreach (var v in mapped)
        {
            vertices.Add(new((_signX * v.X) + _at.X, (_signY * v.Y) + _at.Y, turn * v.Bulge));
        }

        return path with { Vertices = vertices.MoveToImmutable() };
    }

    /// <summary>What the machine can reach, in its own coordinates; null when that is not known.</summary>
    public static Bounds2? WorkArea(JobSettings settings)
    {
        ArgumentNullException.ThrowIfNull(settings);
        if (settings.WorkAreaMm.WidthMm <= 0 || settings.WorkAreaMm.HeightMm <= 0)
        {
            return null;
        }

        var (w, h) = (settings.WorkAreaMm.WidthMm, settings.WorkAreaMm.HeightMm);
        var zero = Corner(settings.MachineOrigin, settings.WorkAreaMm);
        var (x, y) = Signs(settings);
        return Bounds2.Empty.Include(new(x * -zero.X, y * -zero.Y)).Include(new(x * (w - zero.X), y * (h - zero.Y)));
    }

    /// <summary>The corner that a word names, in words for people.</summary>
    internal static string CornerInWords(string origin) => origin switch
    {
        "lower_right" => "lower right corner",
        "upper_left" => "upper left corner",
        "upper_right" => "upper right corner",
        "center" => "middle",
        _ => "lower left corner",
    };

    private static Point2 Corner(string origin, BlankSize size) => origin switch
    {
        "lower_right" => new(size.WidthMm, 0),
        "upper_left" => new(0, size.HeightMm),
        "upper_right" => new(size.WidthMm, size.HeightMm),
        "center" => new(size.WidthMm / 2, size.HeightMm / 2),
        _ => new(0, 0),
    };

    private static (double X, double Y) Signs(JobSettings settings) =>
        (settings.MachineX == "left" ? -1 : 1, settings.MachineY == "towards" ? -1 : 1);

    // The rigid motion that brings the middle of the two points together and their line into one direction: what both
    // points miss by is half the difference of their distances, along the line.
    private static (MeasuredPlacement? Placement, string? Fault, Affine2 Lies) Measured(Affine2 machine, JobSettings settings)
    {
        var (hasFrom, hasAt) = (settings.PlacedFromMm.Trim().Length > 0, settings.PlacedAtMm.Trim().Length > 0);
        if (!hasFrom && !hasAt)
        {
            return default;
        }

        if (!Places.TryParse(settings.PlacedFromMm, 2, out var from) || !Places.TryParse(settings.PlacedAtMm, 2, out var told))
        {
            return (null, "placed_from_mm and placed_at_mm must both hold two points", default);
        }

        var (x, y) = Signs(settings);
        var toBed = machine * Affine2.Scale(x, y);
        var (a, b) = (toBed.Apply(told[0]), toBed.Apply(told[1]));
        var (onSheet, onBed) = (from[1] - from[0], b - a);
        if (onSheet.Length < NearestMm || onBed.Length < NearestMm)
        {
            return (null, "its two points must lie at least 10 mm apart, better near two corners of the sheet", default);
        }

        var turn = Math.Atan2(Vector2.Cross(onSheet, onBed), Vector2.Dot(onSheet, onBed));
        var (sin, cos) = Math.SinCos(turn);
        var rotation = new Affine2(cos, -sin, 0, sin, cos, 0);
        var move = Point2.Lerp(a, b, 0.5) - rotation.Apply(Point2.Lerp(from[0], from[1], 0.5));
        return (new(turn, onSheet.Length, onBed.Length), null, Affine2.Translation(move.X, move.Y) * rotation);
    }

    private List<PathVertex> Moved(CutPath path)
    {
        var vertices = new List<PathVertex>(path.Vertices.Length);
        foreach (var v in path.Vertices)
        {
            var p = _toBed.Apply(v.Point);
            vertices.Add(new(p.X, p.Y, v.Bulge));
        }

        return vertices;
    }

    // Scale and skew that do not turn with the sheet make circles ellipses, to which arcs are fitted again.
    private List<PathVertex> Fitted(CutPath path)
    {
        var vertices = new List<PathVertex>(path.Vertices.Length * 4);
        for (var i = 0; i < path.SegmentCount; i++)
        {
            var (segment, first) = (path.SegmentAt(i), vertices.Count);
            var start = _toBed.Apply(segment.Start);
            if (segment.IsLine || segment.Chord.Length == 0)
            {
                vertices.Add(new(start.X, start.Y));
                continue;
            }

            var (radius, from) = (segment.Radius, segment.Start - segment.Center);
            ArcFit.EllipticalArc(
                _toBed.Apply(segment.Center), _toBed.Apply(new Vector2(radius, 0)), _toBed.Apply(new Vector2(0, radius)),
                Math.Atan2(from.Y, from.X), segment.SweepRad, FitToleranceMm, vertices);
            vertices[first] = vertices[first] with { X = start.X, Y = start.Y };
        }

        if (!path.IsClosed)
        {
            var end = _toBed.Apply(path.End);
            vertices.Add(new(end.X, end.Y));
        }

        return vertices;
    }
}
