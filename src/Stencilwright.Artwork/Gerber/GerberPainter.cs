using System.Collections.Immutable;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Gerber;

/// <summary>Walks through a document's items, blocks and repetitions included, and makes the object that each one paints.</summary>
internal sealed class GerberPainter
{
    private const int CancellationInterval = 4096;

    // About ten seconds of work, half a microsecond each.
    private const long MostSweepWork = 20_000_000;

    private readonly GerberDocument _document;
    private readonly ReadLimits _limits;
    private readonly GerberDiagnostics _diagnostics;
    private readonly CancellationToken _cancellationToken;
    private readonly ImmutableArray<PaintedObject>.Builder _objects = ImmutableArray.CreateBuilder<PaintedObject>();
    private readonly Dictionary<(int Aperture, bool MirrorX, bool MirrorY, double RotationDeg, double Scale), Region> _flashes = [];
    private readonly Dictionary<int, Region> _shapes = [];
    private readonly List<Segment> _segments = [];
    private readonly List<PathVertex> _contour = [];
    private readonly double _countX;
    private readonly double _countY;
    private readonly double _arcToleranceMm;
    private Point2 _flashedAt;
    private long _vertices;
    private long _sweepWork;
    private int _untilCheck = CancellationInterval;

    public GerberPainter(GerberDocument document, ReadLimits limits, GerberDiagnostics diagnostics, CancellationToken cancellationToken)
    {
        _document = document;
        _limits = limits;
        _diagnostics = diagnostics;
        _cancellationToken = cancellationToken;
        _countX = document.UnitMm / Math.Pow(10, document.DecimalsX);
        _countY = document.UnitMm / Math.Pow(10, document.DecimalsY);
        // End points and centre are each rounded to a count; old files have coarse ones.
        _arcToleranceMm = Math.Max(0.005, 3 * Math.Max(_countX, _countY));
    }

    /// <summary>Where a walk is: the map to the board, its scale, and whether a clear block turned polarities round.</summary>
    private readonly record struct Placement(Affine2 Map, double Scale, bool Inverted)
    {
        public Placement Of(Affine2 inner, double scale, bool invert) => new(Map * inner, Scale * scale, Inverted ^ invert);
    }

    /// <summary>Everything painted, in order; null when that is more than the limits allow.</summary>
    public ImmutableArray<PaintedObject>? Paint()
    {
        if (_document.ObjectCount > _limits.MaxObjects || _document.Items.Work > _limits.MaxVertices)
        {
            return TooMany();
        }

        var top = new Placement(_document.Image.Placement(_document.UnitMm), 1, false);
        var at = default(Point2);
        return Walk(_document.Items, 0, _document.Items.Count, top, ref at) ? _objects.ToImmutable() : TooMany();
    }

    private ImmutableArray<PaintedObject>? TooMany()
    {
        _diagnostics.Error(GerberCodes.TooMany, 0, "Repetition and blocks make more objects or vertices than this program accepts, so the layer was not painted; export one copy of the board.");
        return null;
    }

    private bool Walk(GerberItemList list, int from, int to, Placement placement, ref Point2 at)
    {
        var items = list.Span;
        for (var i = from; i < to; i++)
        {
            if (--_untilCheck == 0)
            {
                _untilCheck = CancellationInterval;
                _cancellationToken.ThrowIfCancellationRequested();
            }

            ref readonly var item = ref items[i];
            switch (item.Kind)
            {
                case ItemKind.Move:
                    at = PointOf(item);
                    break;
                case ItemKind.Flash:
                    at = PointOf(item);
                    if (!Flash(item, at, placement))
                    {
                        return false;
                    }

                    break;
                case ItemKind.BeginRegion:
                    i = PaintRegion(list, i, to, placement, ref at);
                    break;
                case ItemKind.BeginRepeat:
                    if (!Repeat(list, i, Math.Min(item.Y, to), placement, ref at))
                    {
                        return false;
                    }

                    i = Math.Max(i, item.Y);
                    break;
                case ItemKind.EndRegion or ItemKind.EndRepeat or ItemKind.Center:
                    break;
                default:
                    Stroke(item, list.CenterAfter(i), ref at, placement);
                    break;
            }

            if (_vertices > _limits.MaxVertices || _objects.Count > 2L * _limits.MaxObjects)
            {
                return false;
            }
        }

        return true;
    }

    // Copies go in y first, then in x.
    private bool Repeat(GerberItemList list, int begin, int end, Placement placement, ref Point2 at)
    {
        var repeat = _document.Tables.Repeats[list.Span[begin].X];
        var start = at;
        if (end <= begin + 1)
        {
            return true;
        }

        for (var x = 0; x < repeat.CountX; x++)
        {
            for (var y = 0; y < repeat.CountY; y++)
            {
                var step = Affine2.Translation(x * repeat.StepX * _document.UnitMm, y * repeat.StepY * _document.UnitMm);
                at = start;
                if (!Walk(list, begin + 1, end, placement.Of(step, 1, false), ref at))
                {
                    return false;
                }
            }
        }

        return true;
    }

    // MI and SF act on coordinates alone.
    private Point2 PointOf(in GerberItem item) =>
        new(item.X * _countX * _document.Image.FactorX, item.Y * _countY * _document.Image.FactorY);

    private static Affine2 Transformation(in GerberState state)
    {
        var mirror = Affine2.Scale(state.MirrorX ? -1 : 1, state.MirrorY ? -1 : 1);
        return Affine2.RotationDegrees(state.RotationDeg) * (mirror * Affine2.Scale(state.Scale, state.Scale));
    }

    private bool Flash(in GerberItem item, Point2 at, Placement placement)
    {
        var state = _document.Tables.States[item.State];
        var aperture = _document.Tables.Apertures[state.Aperture];
        var toPlace = Affine2.Translation(at.X, at.Y);
        _flashedAt = placement.Map.Apply(at);
        if (aperture.Block is { } block)
        {
            if (block.ObjectCount == 0)
            {
                return true;
            }

            var inner = default(Point2);
            return Walk(block, 0, block.Count, placement.Of(toPlace * Transformation(state), state.Scale, !state.IsDark), ref inner);
        }

        var shape = FlashShape(state, Transformation(state));
        Add(PaintKind.Flash, item, state, aperture.Function, shape.Transform(placement.Map * toPlace), placement, null, 0);
        return true;
    }

    private Region FlashShape(in GerberState state, Affine2 transformation)
    {
        var key = (state.Aperture, state.MirrorX, state.MirrorY, state.RotationDeg, state.Scale);
        if (!_flashes.TryGetValue(key, out var shape))
        {
            shape = ShapeOf(state.Aperture).Transform(transformation);
            _flashes.Add(key, shape);
        }

        return shape;
    }

    private Region ShapeOf(int index)
    {
        if (_shapes.TryGetValue(index, out var shape))
        {
            return shape;
        }

        var aperture = _document.Tables.Apertures[index];
        try
        {
            shape = ApertureShapes.Of(aperture, _document.UnitMm);
        }
        catch (InvalidOperationException)
        {
            shape = Region.Empty;
            _diagnostics.Error(GerberCodes.ShapeUnresolved, aperture.SourceOffset, FormattableString.Invariant(
                $"The shape of aperture D{aperture.Number} could not be resolved, so it paints nothing; simplify the macro or report the file."));
        }

        _shapes.Add(index, shape);
        return shape;
    }

    private void Stroke(in GerberItem item, (int X, int Y) center, ref Point2 at, Placement placement)
    {
        var state = _document.Tables.States[item.State];
        var aperture = _document.Tables.Apertures[state.Aperture];
        _segments.Clear();
        AppendPath(item, center, ref at);
        var transformation = Transformation(state);
        foreach (var path in _segments)
        {
            var (shape, width) = Cover(path, state, aperture, transformation);
            var centerLine = TransformPath(path, placement.Map);
            var final = placement.Map == Affine2.Identity ? shape : shape.Transform(placement.Map);
            Add(PaintKind.Stroke, item, state, aperture.Function, final, placement, centerLine, width * placement.Scale);
        }
    }

    private (Region Shape, double WidthMm) Cover(Segment path, in GerberState state, GerberAperture aperture, Affine2 transformation)
    {
        var scale = state.Scale;
        try
        {
            if (aperture.Kind == GerberApertureKind.Circle && !aperture.HasHole)
            {
                var width = aperture.Parameters[0] * _document.UnitMm * scale;
                return (StrokeShapes.Round(path, width), width);
            }

            if (aperture.Kind == GerberApertureKind.Rectangle && !aperture.HasHole)
            {
                // The pen may be turned: sweep it in its own frame.
                var (x, y) = (aperture.Parameters[0] * _document.UnitMm, aperture.Parameters[1] * _document.UnitMm);
                var upright = transformation with { Xx = transformation.Xx / scale, Xy = transformation.Xy / scale, Yx = transformation.Yx / scale, Yy = transformation.Yy / scale };
                var local = TransformPath(path, upright.Inverse());
                return (StrokeShapes.Box(local, x * scale / 2, y * scale / 2).Transform(upright), Math.Min(x, y) * scale);
            }

            var pen = FlashShape(state, transformation);
            if (!HasSweepsLeft(pen, path, aperture))
            {
                return (Region.Empty, 0);
            }

            return (PenSweep.Of(pen, path), ApertureShapes.SmallerSide(ShapeOf(state.Aperture)) * scale);
        }
        catch (InvalidOperationException)
        {
            _diagnostics.Once(GerberCodes.ShapeUnresolved, Severity.Error, aperture.SourceOffset, "A stroke's shape could not be resolved and was left out; simplify the layer or report the file.");
            return (Region.Empty, 0);
        }
    }

    // Sweeping costs far more for each corner than a flash does, and an arc more than a line.
    private bool HasSweepsLeft(Region pen, Segment path, GerberAperture aperture)
    {
        var (corners, dents) = (0L, 0L);
        foreach (var contour in pen.Contours)
        {
            corners += contour.Count;
            for (var i = 0; i < contour.Count; i++)
            {
                var (before, after) = (contour.SegmentAt(i), contour.SegmentAt((i + 1) % contour.Count));
                dents += before.Bulge < 0 || Vector2.Cross(before.Chord, after.Chord) < 0 ? 1 : 0;
            }
        }

        // Measured: edges that pass over each other count in pairs, which along a line only those of dents do.
        _sweepWork += path.IsLine ? corners + (2 * corners * dents) : (100 * corners) + (4 * corners * corners);

        if (_sweepWork <= MostSweepWork)
        {
            return true;
        }

        _diagnostics.Once(GerberCodes.TooMany, Severity.Error, aperture.SourceOffset, "Strokes with pens of many corners take more work than this program accepts, so the rest of them was left out; draw with round pens, or export areas.");
        return false;
    }

    private static Segment TransformPath(Segment path, Affine2 map) =>
        new(map.Apply(path.Start), map.Apply(path.End), map.Determinant < 0 ? -path.Bulge : path.Bulge);

    /// <summary>Appends the segments of a draw to the list, and moves on.</summary>
    private void AppendPath(in GerberItem item, (int X, int Y) center, ref Point2 at)
    {
        var end = PointOf(item);
        var start = at;
        at = end;
        if (item.Kind == ItemKind.Line)
        {
            _segments.Add(new Segment(start, end, 0));
            return;
        }

        // Arcs are worked out before MI and SF, which may make them arcs of ellipses.
        var (fx, fy) = (_document.Image.FactorX, _document.Image.FactorY);
        var (a, b) = (new Point2(start.X / fx, start.Y / fy), new Point2(end.X / fx, end.Y / fy));
        b = start == end ? a : b;
        AppendArc(item, center, a, b);
        if (fx == 1 && fy == 1)
        {
            return;
        }

        if (Math.Abs(fx) != Math.Abs(fy))
        {
            ArcPath.Stretch(_segments, fx, fy);
            return;
        }

        for (var i = 0; i < _segments.Count; i++)
        {
            _segments[i] = TransformPath(_segments[i], Affine2.Scale(fx, fy));
        }
    }

    private void AppendArc(in GerberItem item, (int X, int Y) offset, Point2 start, Point2 end)
    {
        var (i, j) = (offset.X * _countX, offset.Y * _countY);
        var clockwise = item.Kind is ItemKind.Clockwise or ItemKind.QuadrantClockwise;
        var center = new Point2(start.X + i, start.Y + j);
        if (item.Kind is ItemKind.QuadrantClockwise or ItemKind.QuadrantCounterClockwise)
        {
            // Equal ends are an arc of no length in this mode.
            if (start == end || ArcPath.QuadrantCenter(start, end, i, j, clockwise) is not { } found)
            {
                if (start != end)
                {
                    _diagnostics.Once(GerberCodes.ArcRepaired, Severity.Warning, item.Offset, "A single-quadrant arc (G74) fits no quarter circle and was drawn as a straight line; check the image.");
                }

                _segments.Add(new Segment(start, end, 0));
                return;
            }

            center = found;
        }

        if (center == start || center == end)
        {
            _diagnostics.Once(GerberCodes.ArcWithoutCenter, Severity.Warning, item.Offset, "An arc has its centre on its own end, so it was drawn as a straight line; check the image.");
            _segments.Add(new Segment(start, end, 0));
            return;
        }

        var mismatch = ArcPath.Append(start, end, center, clockwise, _segments);
        if (mismatch > _arcToleranceMm)
        {
            _diagnostics.Once(GerberCodes.ArcRepaired, Severity.Warning, item.Offset, "An arc's ends are not equally far from its centre; the ends were kept and the radius evened out, so check the image.");
        }
    }

    private int PaintRegion(GerberItemList list, int begin, int to, Placement placement, ref Point2 at)
    {
        var items = list.Span;
        var state = _document.Tables.States[items[begin].State];
        var opening = begin;
        _contour.Clear();
        var i = begin + 1;
        for (; i < to && items[i].Kind != ItemKind.EndRegion; i++)
        {
            if (items[i].Kind > ItemKind.Flash)
            {
                continue;
            }

            if (items[i].Kind == ItemKind.Move)
            {
                FinishContour(items[opening], state, placement);
                opening = i;
                at = PointOf(items[i]);
                continue;
            }

            _segments.Clear();
            AppendPath(items[i], list.CenterAfter(i), ref at);
            foreach (var segment in _segments)
            {
                _contour.Add(new PathVertex(segment.Start.X, segment.Start.Y, segment.Bulge));
            }
        }

        // Only the last segment's start is a vertex; where it does not return to the first, a straight line does.
        FinishContour(items[opening], state, placement);
        return i;
    }

    private void FinishContour(in GerberItem item, in GerberState state, Placement placement)
    {
        if (_contour.Count == 0)
        {
            return;
        }

        var last = _segments[^1].End;
        if (last != _contour[0].Point)
        {
            _contour.Add(new PathVertex(last.X, last.Y));
        }

        Region shape;
        try
        {
            shape = ContourRepair.ToRegion(System.Runtime.InteropServices.CollectionsMarshal.AsSpan(_contour));
        }
        catch (InvalidOperationException)
        {
            shape = Region.Empty;
            _diagnostics.Error(GerberCodes.ShapeUnresolved, item.Offset, "A region's outline could not be resolved and was left out; simplify the layer or report the file.");
        }

        _contour.Clear();
        if (placement.Map != Affine2.Identity)
        {
            shape = shape.Transform(placement.Map);
        }

        Add(PaintKind.Area, item, state, state.RegionFunction, shape, placement, null, 0);
    }

    private void Add(
        PaintKind kind, in GerberItem item, in GerberState state, string? function, Region shape, Placement placement, Segment? center, double widthMm)
    {
        foreach (var contour in shape.Contours)
        {
            _vertices += contour.Count;
        }

        _objects.Add(new PaintedObject
        {
            Kind = kind,
            IsDark = state.IsDark ^ placement.Inverted,
            Shape = shape,
            SourceOffset = item.Offset,
            CenterLine = center,
            PenWidthMm = widthMm,
            ApertureFunction = function,
            Component = state.Component,
            Pin = state.Pin,
            Net = state.Net,
            Mark = kind == PaintKind.Flash ? MarkOf(state, function) : null,
        });
    }

    // Pins of component layers are flashed with apertures of no size, so their shape cannot tell their place.
    private ComponentMark? MarkOf(in GerberState state, string? function) =>
        state.ComponentAttributes is not null || (function is not null && function.StartsWith("Component", StringComparison.Ordinal) && state.Component is not null)
            ? new ComponentMark(_flashedAt, state.ComponentAttributes ?? ImmutableSortedDictionary<string, string>.Empty)
            : null;
}
