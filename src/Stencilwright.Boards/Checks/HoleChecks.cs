using System.Globalization;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Boards.Checks;

/// <summary>Holes under paste: vias that drink it, leads' holes that are perhaps meant to hold it, and holes without plating.</summary>
internal static class HoleChecks
{
    // Vias are seldom drilled wider and leads' holes seldom narrower (common practice, no source).
    private const double WidestViaMm = 0.6;

    // How far a hole must reach under an opening: less is rounding of two files.
    private const double LeastReachMm = 0.02;

    public static void Run(SideView side, IReadOnlyList<BoardHole> holes, CheckWriter writer)
    {
        var boxes = new Bounds2[holes.Count];
        for (var i = 0; i < boxes.Length; i++)
        {
            boxes[i] = holes[i].Box;
        }

        var join = BoxJoin.Of(side.Boxes, boxes);
        var kinds = new HoleGroup[] { new(), new(), new(), new() };
        for (var i = 0; i < side.Boxes.Length; i++)
        {
            foreach (var index in join[i])
            {
                var hole = holes[index];
                if (ReachMm(side.Openings[i].Shape, hole) > LeastReachMm)
                {
                    kinds[KindOf(hole, side.Boxes[i])].Add(i, index, hole.DiameterMm);
                }
            }
        }

        Say(side, kinds[0], "BRD167", "over vias", "solder runs into open vias and is missing under the part; have the vias filled or covered, move them, or leave them out of the opening", writer);
        Say(side, kinds[3], "BRD178", "on vias themselves", "the export put the vias' own pads on the paste layer, and solder would be lost in them; export paste for surface-mount pads only", writer);
        Say(side, kinds[1], "BRD168", "over holes for leads", "unless leads are to be soldered there by reflow, the export put through-hole pads on the paste layer; export paste for surface-mount pads only", writer);
        Say(side, kinds[2], "BRD169", "over holes without plating", "paste is pressed through and solders nothing; remove the opening, or check the drill files", writer);
    }

    private static int KindOf(BoardHole hole, Bounds2 opening)
    {
        if (hole.IsPlated == false)
        {
            return 2;
        }

        if (hole.DiameterMm > WidestViaMm || hole.SlotEnd is not null)
        {
            return 1;
        }

        return Point2.Distance(hole.At, opening.Center) <= LayerFeatures.SameCentreMm && LayerFeatures.IsAlike(hole.Box, opening) ? 3 : 0;
    }

    // How deep the hole reaches into the shape; not above 0 when it does not.
    private static double ReachMm(Region shape, BoardHole hole)
    {
        var radius = hole.DiameterMm / 2;
        if (shape.Contains(hole.At))
        {
            return radius;
        }

        if (hole.SlotEnd is not { } end)
        {
            return radius - RegionDistance.ToBoundary(shape, hole.At).DistanceMm;
        }

        if (shape.Contains(end))
        {
            return radius;
        }

        var nearest = double.PositiveInfinity;
        var line = new Segment(hole.At, end, 0);
        foreach (var contour in shape.Contours)
        {
            for (var i = 0; i < contour.Count; i++)
            {
                nearest = Math.Min(nearest, RegionDistance.Between(line, contour.SegmentAt(i)).DistanceMm);
            }
        }

        return radius - nearest;
    }

    private static void Say(SideView side, HoleGroup group, string code, string where, string why, CheckWriter writer)
    {
        if (group.Openings.Count > 0)
        {
            var count = group.HoleCount;
            writer.Add(code, Severity.Warning, side, group.Openings, string.Create(
                CultureInfo.InvariantCulture,
                $"{CheckWriter.Openings(group.Openings.Count, "lies", "lie")} {where} ({count} {(count == 1 ? "hole" : "holes")}, the widest of {group.Openings.WorstMeasure:0.##} mm): {why}."));
        }
    }

    private sealed class HoleGroup
    {
        private readonly HashSet<int> _holes = [];

        public FaultGroup Openings { get; } = new();

        public int HoleCount => _holes.Count;

        public void Add(int opening, int hole, double diameterMm)
        {
            _holes.Add(hole);
            Openings.Add(opening, diameterMm);
        }
    }
}
