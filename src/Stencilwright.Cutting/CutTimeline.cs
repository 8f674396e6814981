using System.Collections.Immutable;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>When the beam is where while a sheet is cut: what a playback in true proportion of time needs.</summary>
/// <remarks>
/// The same motion that a plan's time is summed from: the end of the last path is <see cref="SheetPlan.TimeS"/>. Within a segment
/// the beam is taken to move evenly, which for the ramps of a small laser in film is true to a tenth of a millimetre or so.
/// </remarks>
public sealed record CutTimeline
{
    /// <summary>Seconds from the start of the sheet at which each path's beam is switched on.</summary>
    public required ImmutableArray<double> StartsS { get; init; }

    /// <summary>Seconds from the start of the sheet at which each segment ends, path after path.</summary>
    public required ImmutableArray<double> SegmentEndsS { get; init; }

    /// <summary>Index in <see cref="SegmentEndsS"/> of each path's first segment, and at last their number.</summary>
    public required ImmutableArray<int> FirstSegments { get; init; }

    /// <summary>Seconds with the beam on, scores included.</summary>
    public required double BeamOnS { get; init; }

    /// <summary>Seconds with the beam off.</summary>
    public required double TravelS { get; init; }

    /// <summary>Seconds with the beam on that go into scores.</summary>
    public required double ScoreS { get; init; }

    /// <summary>Seconds until the last path ends.</summary>
    public double TotalS => SegmentEndsS.IsEmpty ? 0 : SegmentEndsS[^1];

    /// <summary>Seconds from the start of the sheet at which a path's beam is switched off.</summary>
    public double EndS(int path) => SegmentEndsS[FirstSegments[path + 1] - 1];

    /// <summary>The timeline of a plan.</summary>
    /// <param name="plan">The sheet, in its order of cutting.</param>
    /// <param name="settings">The machine's motion, the same that the plan was made with.</param>
    public static CutTimeline Of(SheetPlan plan, JobSettings settings)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(settings);
        var (starts, firsts) = (new double[plan.Paths.Length], new int[plan.Paths.Length + 1]);
        var ends = ImmutableArray.CreateBuilder<double>(plan.Paths.Sum(p => p.SegmentCount));
        var (cutting, scoring) = (MotionLimits.Of(settings, plan.CutSpeedMmS), MotionLimits.Of(settings, plan.ScoreSpeedMmS));
        var (now, travel, score, at) = (0.0, 0.0, 0.0, new Point2(0, 0));
        var seconds = new double[64];
        for (var p = 0; p < plan.Paths.Length; p++)
        {
            var path = plan.Paths[p];
            var move = Motion.RestToRestS(Point2.Distance(at, path.Start), settings.TravelSpeedMmS, settings.AccelerationMmS2);
            (travel, now) = (travel + move, now + move);
            (starts[p], firsts[p]) = (now, ends.Count);
            if (seconds.Length < path.SegmentCount)
            {
                seconds = new double[path.SegmentCount];
            }

            var limits = path.SpeedMmS is { } own ? MotionLimits.Of(settings, own) : path.Kind == CutKind.Score ? scoring : cutting;
            Motion.SegmentTimes(path, limits, seconds);
            for (var i = 0; i < path.SegmentCount; i++)
            {
                now += seconds[i];
                ends.Add(now);
            }

            score += path.Kind == CutKind.Score ? now - starts[p] : 0;
            at = path.End;
        }

        firsts[^1] = ends.Count;
        return new CutTimeline
        {
            StartsS = [.. starts],
            SegmentEndsS = ends.ToImmutable(),
            FirstSegments = [.. firsts],
            BeamOnS = now - travel,
            TravelS = travel,
            ScoreS = score,
        };
    }
}
