using System.Runtime.InteropServices;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting.Heat;

/// <summary>A straight stretch of the beam's way, run at one speed with one power.</summary>
[StructLayout(LayoutKind.Auto)]
internal readonly record struct HeatPiece(Point2 From, Point2 To, double StartS, double EndS, double HeatW, int Path);

/// <summary>Pieces next to each other, seen from afar as one.</summary>
[StructLayout(LayoutKind.Auto)]
internal readonly record struct HeatLump(int First, int Count, Point2 Middle, double RadiusMm, double StartS, double EndS, double MiddleS, double HeatJ);

/// <summary>The beam's way over a sheet in time, cut into pieces.</summary>
internal static class HeatPieces
{
    private const double LongestMm = 1;

    // An arc's chords turn by at most a sixth of a right angle: they leave an arc of 0.3 mm by 1 µm.
    private const double LargestTurn = Math.PI / 12;

    /// <summary>Pieces in the order of time, from the machine's limits.</summary>
    public static HeatPiece[] Of(SheetPlan sheet, JobSettings settings, FilmConditions conditions)
    {
        // As many as there can be, so that the largest array of all is made once.
        var pieces = new HeatPiece[MostOf(sheet)];
        var count = 0;
        var cut = MotionLimits.Of(settings, sheet.CutSpeedMmS);
        var score = MotionLimits.Of(settings, sheet.ScoreSpeedMmS);
        var scoreW = HeatW(settings, sheet.ScorePowerPercent);
        var (at, time) = (new Point2(0, 0), 0.0);
        var seconds = new double[64];
        for (var p = 0; p < sheet.Paths.Length; p++)
        {
            var path = sheet.Paths[p];
            time += Motion.RestToRestS(Point2.Distance(at, path.Start), settings.TravelSpeedMmS, settings.AccelerationMmS2);
            if (seconds.Length < path.SegmentCount)
            {
                seconds = new double[path.SegmentCount];
            }

            var (limits, heatW) = path.Kind == CutKind.Score ? (score, scoreW) : (cut, conditions.HeatW);
            Motion.SegmentTimes(path, path.SpeedMmS is { } speed ? MotionLimits.Of(settings, speed) : limits, seconds);
            heatW = path.PowerPercent is { } power ? HeatW(settings, power) : heatW;
            for (var i = 0; i < path.SegmentCount; i++)
            {
                count += Put(pieces.AsSpan(count), path.SegmentAt(i), time, seconds[i], heatW, p);
                time += seconds[i];
            }

            at = path.End;
        }

        Array.Resize(ref pieces, count);
        return pieces;
    }

    /// <summary>Neighbouring pieces of one path taken together while they stay small.</summary>
    public static HeatLump[] LumpsOf(HeatPiece[] pieces)
    {
        var lumps = new List<HeatLump>(pieces.Length);
        for (var first = 0; first < pieces.Length;)
        {
            var box = Box(pieces[first]);
            var last = first + 1;
            while (last < pieces.Length && pieces[last].Path == pieces[first].Path)
            {
                var wider = Bounds2.Union(box, Box(pieces[last]));
                if (Math.Max(wider.Width, wider.Height) > LongestMm)
                {
                    break;
                }

                box = wider;
                last++;
            }

            lumps.Add(Lump(pieces, first, last, box));
            first = last;
        }

        return [.. lumps];
    }

    // Heat that stays in the film at a power of the machine's own scale, as FilmConditions has it for that of cuts.
    private static double HeatW(JobSettings settings, double powerPercent) =>
        settings.LaserPowerW * powerPercent / 100 * settings.FilmHeatPercent / 100;

    private static HeatLump Lump(HeatPiece[] pieces, int first, int last, Bounds2 box)
    {
        var (heat, when, x, y) = (0.0, 0.0, 0.0, 0.0);
        for (var i = first; i < last; i++)
        {
            ref readonly var piece = ref pieces[i];
            var joules = piece.HeatW * (piece.EndS - piece.StartS);
            heat += joules;
            when += joules * (piece.StartS + piece.EndS) / 2;
            x += joules * (piece.From.X + piece.To.X) / 2;
            y += joules * (piece.From.Y + piece.To.Y) / 2;
        }

        var (start, end) = (pieces[first].StartS, pieces[last - 1].EndS);
        var radius = Math.Sqrt((box.Width * box.Width) + (box.Height * box.Height));
        return heat > 0
            ? new(first, last - first, new(x / heat, y / heat), radius, start, end, when / heat, heat)
            : new(first, last - first, box.Center, radius, start, end, start, 0);
    }

    private static Bounds2 Box(in HeatPiece piece) => new(
        Math.Min(piece.From.X, piece.To.X), Math.Min(piece.From.Y, piece.To.Y),
        Math.Max(piece.From.X, piece.To.X), Math.Max(piece.From.Y, piece.To.Y));

    private static int MostOf(SheetPlan sheet)
    {
        var count = 0;
        foreach (var path in sheet.Paths)
        {
            for (var i = 0; i < path.SegmentCount; i++)
            {
                var segment = path.SegmentAt(i);
                count += CountOf(segment, segment.Length);
            }
        }

        return count;
    }

    private static int CountOf(in Segment segment, double length)
    {
        var turn = 4 * Math.Atan(Math.Abs(segment.Bulge));
        return Math.Max((int)Math.Ceiling(Math.Max(length / LongestMm, turn / LargestTurn)), 1);
    }

    private static int Put(Span<HeatPiece> pieces, Segment segment, double start, double seconds, double heatW, int path)
    {
        var length = segment.Length;
        if (length <= 0 || seconds <= 0)
        {
            return 0;
        }

        var count = CountOf(segment, length);
        var from = segment.Start;
        for (var i = 1; i <= count; i++)
        {
            var to = i == count ? segment.End : segment.PointAt((double)i / count);
            pieces[i - 1] = new(from, to, start + (seconds * (i - 1) / count), start + (seconds * i / count), heatW, path);
            from = to;
        }

        return count;
    }
}
