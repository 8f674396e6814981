using System.Collections.Immutable;
using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Svg;

/// <summary>Breaks a stroke's centre line into its dashes by length along it; arcs stay arcs (W3C SVG, "Controlling dashing").</summary>
internal static class SvgDashes
{
    // More dashes than this in one path, or finer ones, are no drawing.
    private const double MostDashes = 100_000;
    private const double FinestMm = 1e-3;

    // Shorter than this is rounding of the lengths.
    private const double SameMm = 1e-9;

    /// <summary>The lengths of a property such as <c>4,2</c>, an odd list taken twice; empty for an unbroken line, null when it is wrong.</summary>
    public static ImmutableArray<double>? Parse(string text, SvgBox viewport)
    {
        if (text.AsSpan().Trim() is "none")
        {
            return [];
        }

        var lengths = ImmutableArray.CreateBuilder<double>();
        var sum = 0.0;
        foreach (var part in text.Split([' ', ',', '\t', '\r', '\n'], StringSplitOptions.RemoveEmptyEntries))
        {
            if (!SvgUnits.TryLength(part, viewport, SvgAxis.Diagonal, out var length) || length < 0)
            {
                return null;
            }

            lengths.Add(length);
            sum += length;
        }

        if (sum == 0)
        {
            return [];
        }

        if (lengths.Count % 2 != 0)
        {
            lengths.AddRange(lengths.ToArray());
        }

        return lengths.ToImmutable();
    }

    /// <summary>False when the pattern is too fine, or gives too many dashes, to be drawn.</summary>
    /// <param name="paths">The centre lines, millimetres.</param>
    /// <param name="dashes">Dash, gap, dash, gap …, in the same unit.</param>
    public static bool AreDrawable(List<SvgSubPath> paths, ReadOnlySpan<double> dashes)
    {
        var (period, length) = (0.0, 0.0);
        foreach (var dash in dashes)
        {
            period += dash;
        }

        foreach (var path in paths)
        {
            length += LengthOf(path);
        }

        return period >= FinestMm && length / period * dashes.Length / 2 <= MostDashes;
    }

    /// <summary>Length of the whole line.</summary>
    public static double LengthOf(SvgSubPath path)
    {
        var sum = 0.0;
        for (var i = 0; i < path.SegmentCount; i++)
        {
            sum += path.SegmentAt(i).Length;
        }

        return sum;
    }

    /// <summary>The dashes of one line, each an open line of its own. A dash over the start of a closed line is one piece.</summary>
    /// <param name="path">The centre line.</param>
    /// <param name="dashes">Dash, gap, dash, gap …, none negative, not all zero, in the path's unit.</param>
    /// <param name="offset">How far into the pattern the line begins.</param>
    public static List<SvgSubPath> Break(SvgSubPath path, ReadOnlySpan<double> dashes, double offset)
    {
        var (index, left) = Enter(dashes, offset);
        var pieces = new List<SvgSubPath>();
        var piece = new List<PathVertex>();
        var isOn = index % 2 == 0;
        var beganOn = isOn;
        var isWhole = true;
        var heading = default(Vector2);
        for (var i = 0; i < path.SegmentCount; i++)
        {
            var segment = path.SegmentAt(i);
            var (length, done) = (segment.Length, 0.0);
            heading = segment.StartTangent;
            while (length - done > left + SameMm)
            {
                var to = done + left;
                if (isOn)
                {
                    AddPart(piece, segment, length, done, to);
                    pieces.Add(Piece(piece, segment.PointAt(to / length), HeadingAt(segment, to / length)));
                }

                done = to;
                index = (index + 1) % dashes.Length;
                left = dashes[index];
                isOn = index % 2 == 0;
                isWhole = false;
                piece.Clear();
            }

            left = Math.Max(0, left - (length - done));
            if (isOn)
            {
                AddPart(piece, segment, length, done, length);
            }
        }

        if (path.SegmentCount == 0 || (isWhole && isOn))
        {
            return isOn ? [path] : [];
        }

        if (isOn)
        {
            EndPiece(path, piece, pieces, heading, beganOn);
        }

        return pieces;
    }

    // The last dash runs to the end, and on a closed line into the dash that began there.
    private static void EndPiece(SvgSubPath path, List<PathVertex> piece, List<SvgSubPath> pieces, Vector2 heading, bool beganOn)
    {
        var end = path.IsClosed ? path.Vertices[0] : path.Vertices[^1];
        if (path.IsClosed && beganOn && pieces.Count > 0)
        {
            piece.AddRange(pieces[0].Vertices);
            pieces[0] = new SvgSubPath([.. piece], IsClosed: false);
            return;
        }

        if (piece.Count > 0)
        {
            pieces.Add(Piece(piece, end.Point, heading));
        }
    }

    private static (int Index, double Left) Enter(ReadOnlySpan<double> dashes, double offset)
    {
        var period = 0.0;
        foreach (var dash in dashes)
        {
            period += dash;
        }

        offset %= period;
        offset += offset < 0 ? period : 0;
        var index = 0;
        while (index < dashes.Length - 1 && offset >= dashes[index] && (offset > 0 || dashes[index] > 0))
        {
            offset -= dashes[index++];
        }

        return (index, Math.Max(0, dashes[index] - offset));
    }

    private static void AddPart(List<PathVertex> piece, Segment segment, double length, double from, double to)
    {
        if (piece.Count > 0 && to - from <= SameMm)
        {
            return;
        }

        var start = segment.PointAt(from / length);
        var share = (to - from) / length;
        piece.Add(new PathVertex(start.X, start.Y, segment.IsLine ? 0 : Math.Tan(segment.SweepRad * share / 4)));
    }

    private static Vector2 HeadingAt(Segment segment, double fraction) =>
        segment.IsLine ? segment.StartTangent : Affine2.RotationDegrees(segment.SweepRad * fraction * 180 / Math.PI).Apply(segment.StartTangent);

    private static SvgSubPath Piece(List<PathVertex> piece, Point2 end, Vector2 heading)
    {
        // A dash of no length is a dot that lies along the line.
        if (piece.Count == 1 && Point2.Distance(piece[0].Point, end) <= SameMm)
        {
            return new SvgSubPath([new PathVertex(end.X, end.Y)], IsClosed: false) { Heading = heading };
        }

        if (piece.Count == 1 || Point2.Distance(piece[^1].Point, end) > SameMm)
        {
            piece.Add(new PathVertex(end.X, end.Y));
        }

        return new SvgSubPath([.. piece], IsClosed: false);
    }
}
