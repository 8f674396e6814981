using System.Runtime.InteropServices;
using Stencilwright.Artwork.Gerber;
using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Ipc2581;

/// <summary>Lines and polygons of the file as segments in millimetres.</summary>
internal static class IpcPaths
{
    /// <summary>Ends of arcs may lie this much nearer to or farther from the centre before it is said.</summary>
    public const double ArcToleranceMm = 0.01;

    /// <summary>The segments of a polygon or a polyline, open as written.</summary>
    /// <param name="item">The element with the steps.</param>
    /// <param name="unitMm">Millimetres in its unit.</param>
    /// <param name="into">Receives the segments.</param>
    /// <param name="badOffset">Byte offset of the first step that cannot be read; -1 when all can.</param>
    /// <returns>The largest mismatch of an arc's radii, millimetres.</returns>
    public static double Steps(XmlItem item, double unitMm, List<Segment> into, out int badOffset)
    {
        badOffset = -1;
        var (hasStart, at, mismatch) = (false, default(Point2), 0.0);
        foreach (var step in item.Steps)
        {
            var end = new Point2(step.X * unitMm, step.Y * unitMm);
            if (double.IsNaN(end.X) || double.IsNaN(end.Y) || (step.IsCurve && (double.IsNaN(step.CenterX) || double.IsNaN(step.CenterY))))
            {
                badOffset = step.Offset;
                return mismatch;
            }

            if (hasStart)
            {
                if (step.IsCurve)
                {
                    mismatch = Math.Max(mismatch, Arc(at, end, new Point2(step.CenterX * unitMm, step.CenterY * unitMm), step.IsClockwise, into));
                }
                else if (at != end)
                {
                    into.Add(new Segment(at, end, 0));
                }
            }

            (hasStart, at) = (true, end);
        }

        return mismatch;
    }

    /// <summary>An arc; a straight line when its centre is one of its ends.</summary>
    public static double Arc(Point2 start, Point2 end, Point2 center, bool isClockwise, List<Segment> into)
    {
        if (center == start || center == end)
        {
            into.Add(new Segment(start, end, 0));
            return double.PositiveInfinity;
        }

        return ArcPath.Append(start, end, center, isClockwise, into);
    }

    /// <summary>What closed segments enclose.</summary>
    public static Region Enclosed(List<Segment> segments)
    {
        if (segments.Count == 0)
        {
            return Region.Empty;
        }

        var vertices = new List<PathVertex>(segments.Count + 1);
        foreach (var segment in segments)
        {
            vertices.Add(new PathVertex(segment.Start.X, segment.Start.Y, segment.Bulge));
        }

        if (segments[^1].End != segments[0].Start)
        {
            vertices.Add(new PathVertex(segments[^1].End.X, segments[^1].End.Y));
        }

        return ContourRepair.ToRegion(CollectionsMarshal.AsSpan(vertices));
    }

    /// <summary>What a pen covers along a segment.</summary>
    /// <param name="segment">The centre line.</param>
    /// <param name="widthMm">The pen's width.</param>
    /// <param name="squareReachMm">0 for an end cut off flat, half the width for a square end; not a number for round ends.</param>
    /// <param name="hasStart">Whether the first end is an end of the whole line and not a joint.</param>
    /// <param name="hasEnd">Whether the last end is one.</param>
    public static Region Stroke(Segment segment, double widthMm, double squareReachMm, bool hasStart, bool hasEnd)
    {
        if (!(widthMm > 0))
        {
            return Region.Empty;
        }

        if (double.IsNaN(squareReachMm) || !segment.IsLine || segment.Chord.Length == 0 || !(hasStart || hasEnd))
        {
            return RegionOffset.Stroke(new OpenPath([new(segment.Start.X, segment.Start.Y, segment.Bulge), new(segment.End.X, segment.End.Y)]), widthMm);
        }

        var along = segment.Chord.Unit;
        var side = along.Left * (widthMm / 2);
        var (a, b) = (segment.Start - (along * (hasStart ? squareReachMm : 0)), segment.End + (along * (hasEnd ? squareReachMm : 0)));
        return Region.Of(Contour.Adopt(
        [
            new((a - side).X, (a - side).Y), new((b - side).X, (b - side).Y, hasEnd ? 0 : 1), new((b + side).X, (b + side).Y), new((a + side).X, (a + side).Y, hasStart ? 0 : 1),
        ]));
    }
}
