using Stencilwright.Artwork.Gerber;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Drill;

/// <content>Slots, routed paths, repetition and patterns.</content>
internal sealed partial class DrillParser
{
    private readonly List<PathVertex> _rout = [];
    private readonly List<Segment> _segments = [];
    private bool _isDown;
    private int _routStart;
    private double _lastRadius;
    private int _patternStart = -1;
    private int _patternEnd = -1;
    private Vector2 _patternOffset;

    private void Plunge()
    {
        FinishRout();
        _tools.Ensure(_lineStart);
        _isDown = true;
        _routStart = _lineStart;
        _rout.Add(new PathVertex(_at.X, _at.Y));
        _routEnd = _lineEnd;
    }

    private int _routEnd;

    private void Rout(Point2 from, Point2 to, in Numbers numbers)
    {
        if (_mode == Mode.Move)
        {
            FinishRout();
            return;
        }

        if (!_isDown)
        {
            if (_evidence.HasPlunge)
            {
                _diagnostics.Once(DrillCodes.Rout, Severity.Note, _lineStart, "A routed move comes before the tool is lowered (M15), so it cuts nothing; nothing to do.");
                return;
            }

            _diagnostics.Once(DrillCodes.Rout, Severity.Warning, _lineStart, "The file never lowers its tool (M15); every move after G01, G02 and G03 was taken as a cut, so check the slots.");
            (_isDown, _routStart) = (true, _lineStart);
            _tools.Ensure(_lineStart);
            _rout.Add(new PathVertex(from.X, from.Y));
        }

        _routEnd = _lineEnd;
        if (_rout.Count > _limits.MaxVertices / 8)
        {
            TooMany(_lineStart);
            return;
        }

        _segments.Clear();
        AppendMove(from, to, numbers);
        foreach (var segment in _segments)
        {
            _rout[^1] = _rout[^1] with { Bulge = segment.Bulge };
            _rout.Add(new PathVertex(segment.End.X, segment.End.Y));
        }
    }

    private void AppendMove(Point2 from, Point2 to, in Numbers numbers)
    {
        var isClockwise = _mode == Mode.Clockwise;
        if (_mode == Mode.Line)
        {
            _segments.Add(new Segment(from, to, 0));
        }
        else if (numbers.I is not null || numbers.J is not null)
        {
            var center = new Point2(from.X + Length(numbers.I), from.Y + Length(numbers.J));
            if (center == from || center == to || !IsNear(center))
            {
                NoCircle(from, to);
                return;
            }

            if (ArcPath.Append(from, to, center, isClockwise, _segments) > 0.005)
            {
                _diagnostics.Once(DrillCodes.Rout, Severity.Warning, _lineStart, "A routed arc's ends are not equally far from its centre; the ends were kept and the radius evened out, so check the path.");
            }
        }
        else
        {
            ByRadius(from, to, numbers, isClockwise);
        }
    }

    // An arc given by its radius is the one of at most half a turn.
    private void ByRadius(Point2 from, Point2 to, in Numbers numbers, bool isClockwise)
    {
        var radius = numbers.Radius is null ? _lastRadius : Math.Abs(Length(numbers.Radius));
        var half = Point2.Distance(from, to) / 2;
        if (radius <= 0 || half <= 0)
        {
            NoCircle(from, to);
            return;
        }

        _lastRadius = radius;
        if (half > radius + 0.01)
        {
            _diagnostics.Once(DrillCodes.Rout, Severity.Warning, _lineStart, "A routed arc's radius is too small to reach its end; a half circle was taken, so check the path.");
        }

        var sweep = 2 * Math.Asin(Math.Min(1, half / radius));
        _segments.Add(Segment.Arc(from, to, isClockwise ? -sweep : sweep));
    }

    private void NoCircle(Point2 from, Point2 to)
    {
        _diagnostics.Once(DrillCodes.Rout, Severity.Warning, _lineStart, "A routed arc has neither a radius (A) nor a centre (I, J) that fits, so it was taken as a straight line; check the path.");
        _segments.Add(new Segment(from, to, 0));
    }

    private void RoutCircle(DrillWord word, in Numbers numbers)
    {
        FinishRout();
        var center = Target(numbers.X, numbers.Y, _at);
        var radius = Math.Abs(Length(numbers.Radius));
        if (radius <= 0 || !IsNear(center) || !IsNear(new Point2(center.X + radius, center.Y)))
        {
            _diagnostics.Once(DrillCodes.Rout, Severity.Warning, word.Offset, "A routed circle has no usable radius (A) and was left out; check the path.");
            return;
        }

        _at = center;
        _tools.Ensure(_lineStart);
        var bulge = word.Code == 32 ? -1 : 1;
        AddPath([new(center.X + radius, center.Y, bulge), new(center.X - radius, center.Y, bulge), new(center.X + radius, center.Y)], _lineStart);
    }

    /// <summary>Lifts the tool: what was cut since it was lowered is one path, or a hole when it never moved.</summary>
    private void FinishRout()
    {
        if (_isDown && _rout.Count > 0)
        {
            _lineEnd = Math.Max(_routEnd, _routStart);
            AddPath([.. _rout], _routStart);
        }

        _rout.Clear();
        _isDown = false;
    }

    private void AddPath(PathVertex[] vertices, int start)
    {
        var hasLength = false;
        foreach (ref readonly var vertex in vertices.AsSpan())
        {
            hasLength |= vertex.Point != vertices[0].Point;
        }

        Add(new DrillItem(vertices[0].Point, hasLength ? new OpenPath(vertices) : null, _tools.Current, start, _lineEnd - start));
    }

    // Rn X Y: the last hole n times more, each a step further.
    private void RepeatLast(in Numbers numbers)
    {
        if (_items.Count == 0 || !numbers.HasPlace)
        {
            _diagnostics.Once(DrillCodes.Pattern, Severity.Warning, _lineStart, "A repetition (R) has no hole before it or no step and was skipped; check that no hole is missing.");
            return;
        }

        var last = _items[^1];
        var step = new Vector2(Length(numbers.X), Length(numbers.Y));
        if (!HasRoom(numbers.Repeat, 1) || !IsNear(last.At + (step * numbers.Repeat)))
        {
            return;
        }

        for (var i = 1; i <= numbers.Repeat; i++)
        {
            Add(Moved(last, Affine2.Translation(step.X * i, step.Y * i)) with { SourceOffset = _lineStart, SourceLength = _lineEnd - _lineStart });
        }

        _at += step * numbers.Repeat;
    }

    // Counted before anything is made.
    private bool HasRoom(long copies, long count)
    {
        if (copies * count <= _mostItems - _items.Count)
        {
            return true;
        }

        TooMany(_lineStart);
        return false;
    }

    private static DrillItem Moved(in DrillItem item, Affine2 map)
    {
        var at = map.Apply(item.At);
        if (item.Path is null)
        {
            return item with { At = at };
        }

        var vertices = item.Path.Vertices.ToArray();
        foreach (ref var vertex in vertices.AsSpan())
        {
            var p = map.Apply(vertex.Point);
            vertex = new PathVertex(p.X, p.Y, map.Determinant < 0 ? -vertex.Bulge : vertex.Bulge);
        }

        return item with { At = at, Path = new OpenPath(vertices) };
    }

    private void BeginPattern(int offset)
    {
        FinishRout();
        if (_patternStart >= 0 && _patternEnd < 0)
        {
            _diagnostics.Once(DrillCodes.Pattern, Severity.Warning, offset, "A pattern (M25) begins inside another; the outer one was dropped, so check that no hole is missing.");
        }

        (_patternStart, _patternEnd, _patternOffset) = (_items.Count, -1, default);
    }

    private void EndPattern(int offset)
    {
        FinishRout();
        if (_patternStart < 0)
        {
            // Without a pattern M01 is a pause.
            return;
        }

        if (_patternEnd >= 0)
        {
            _diagnostics.Once(DrillCodes.Pattern, Severity.Warning, offset, "A pattern is ended (M01) twice; the second end was skipped, so check that no hole is missing.");
            return;
        }

        _patternEnd = _items.Count;
    }

    private void ClosePatterns()
    {
        FinishRout();
        (_patternStart, _patternEnd, _patternOffset) = (-1, -1, default);
    }

    // M02 X Y: the pattern once more, a step further than the last time; with R before it several times; M70, M80, M90 turn it.
    private void RepeatPattern(List<DrillWord> words, in Numbers numbers)
    {
        if (!numbers.HasPlace)
        {
            ClosePatterns();
            return;
        }

        if (_patternStart < 0 || _patternEnd < 0)
        {
            _diagnostics.Once(DrillCodes.Pattern, Severity.Warning, _lineStart, "A pattern is repeated (M02) that was not begun (M25) or not ended (M01), so the repetition was skipped; check that no hole is missing.");
            return;
        }

        var map = Affine2.Identity;
        foreach (var word in words)
        {
            map = (word.Letter == 'M' ? word.Code : -1) switch
            {
                70 => new Affine2(0, 1, 0, 1, 0, 0) * map,
                80 => Affine2.Scale(-1, 1) * map,
                90 => Affine2.Scale(1, -1) * map,
                _ => map,
            };
        }

        var copies = Math.Max(1, numbers.Repeat);
        var step = new Vector2(Length(numbers.X), Length(numbers.Y));
        if (!HasRoom(copies, _patternEnd - _patternStart) || !IsNear(default(Point2) + _patternOffset + (step * copies)))
        {
            return;
        }

        for (var i = 0; i < copies; i++)
        {
            _patternOffset += step;
            for (var k = _patternStart; k < _patternEnd; k++)
            {
                Add(Moved(_items[k], Affine2.Translation(_patternOffset.X, _patternOffset.Y) * map));
            }
        }
    }
}
