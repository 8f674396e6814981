namespace Stencilwright.Geometry.Arranging;

/// <summary>Which sides of a piece lie inside the result.</summary>
internal enum Selection
{
    /// <summary>Winding of the first operand by the non-zero rule.</summary>
    NonZero,

    /// <summary>Winding of the first operand by the even-odd rule.</summary>
    EvenOdd,

    /// <summary>Winding of the first operand above 0.</summary>
    Positive,

    /// <summary>In the first operand and not in the second.</summary>
    Difference,

    /// <summary>In both operands.</summary>
    Intersection,
}

/// <summary>
/// Cuts contours of lines and arcs at every meeting point, finds the winding numbers on both sides of every piece, and
/// chains the pieces where the inside begins. One instance is reused for many runs so that its arrays are allocated once.
/// </summary>
/// <remarks>See docs/algorithms/boolean.md.</remarks>
internal sealed partial class Arrangement
{
    // Relative to the extent: 1e-7 mm on a 200 mm board, far above rounding (1e-16) and far below what light can cut.
    private const double RelativeTolerance = 5e-10;
    private const double RoundingAllowance = 1e-13;

    // An arc whose radius is this many extents keeps its centre to 1e-12 extents. Flatter arcs are reckoned from their chords.
    private const double FarRadius = 1e3;

    [ThreadStatic]
    private static Arrangement? _spare;

    private double _tolerance;
    private double _tolerance2;
    private double _farRadius;
    private double _originX;
    private double _originY;
    private double _cos = 1;
    private double _sin;

    /// <summary>Resolves contours; the first <paramref name="firstCount"/> belong to the first operand, the rest to the second.</summary>
    /// <exception cref="InvalidOperationException">No consistent boundary was found in any of several frames and tolerances.</exception>
    public static Region Run(ReadOnlySpan<Contour> contours, int firstCount, Selection selection)
    {
        var box = Bounds2.Empty;
        foreach (var contour in contours)
            box = Bounds2.Union(box, contour.Bounds);

        if (box.IsEmpty || !double.IsFinite(box.Width) || !double.IsFinite(box.Height))
            return box.IsEmpty ? Region.Empty : throw new ArgumentException("A contour has a coordinate that is not finite.", nameof(contours));

        var work = _spare ?? new Arrangement();
        _spare = null;
        try
        {
            for (var attempt = 0; attempt < 6; attempt++)
            {
                work.Prepare(box, attempt);
                for (var i = 0; i < contours.Length; i++)
                    work.Load(contours[i], i < firstCount ? 0 : 1);

                work.IntersectAll();
                work.Split();
                work.FindWinding(isByRaysAlone: attempt > 0);
                if (work.Trace(selection) is { } region)
                    return region;
            }
        }
        finally
        {
            _spare = work;
        }

        throw new InvalidOperationException(
            "The shapes meet in a way for which no consistent boundary was found; move one of them by a micrometre.");
    }

    private void Prepare(Bounds2 box, int attempt)
    {
        var extent = Math.Max(box.Width, box.Height);
        var far = Math.Max(Math.Max(Math.Abs(box.MinX), Math.Abs(box.MaxX)), Math.Max(Math.Abs(box.MinY), Math.Abs(box.MaxY)));
        var tolerance = Math.Max(extent * RelativeTolerance, far * RoundingAllowance);
        _tolerance = attempt switch { 0 => tolerance, 1 => tolerance, 2 => tolerance / 10, 3 => tolerance * 7, 4 => tolerance / 60, _ => tolerance * 60 };
        _tolerance2 = _tolerance * _tolerance;
        _farRadius = extent * FarRadius;
        (_sin, _cos) = attempt == 0 ? (0, 1) : Math.SinCos(0.3 + (attempt * 0.917));
        _originX = box.Center.X;
        _originY = box.Center.Y;
        _pointCount = _primCount = _sourceCount = _cutCount = _subCount = _edgeCount = 0;
    }
}
