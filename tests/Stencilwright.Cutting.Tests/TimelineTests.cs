using CsCheck;
using Stencilwright.Foundation;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Cutting.Tests;

public sealed class TimelineTests
{
    [Fact]
    public void A_single_line_is_travelled_to_and_cut_as_textbook_kinematics_say()
    {
        // From rest to rest over d: d/v + v/a when the speed is reached, otherwise 2 √(d/a) (textbook kinematics).
        var settings = JobSettings.Default;
        var path = new CutPath { Kind = CutKind.OpeningLine, Owner = "", Vertices = [new(30, 40), new(35, 40), new(35, 52)], IsClosed = false };
        var times = CutTimeline.Of(Sheet(settings, path), settings);
        var travel = (50 / 200.0) + (200 / 1000.0);
        Assert.Equal(travel, times.StartsS[0], 12);
        Assert.Equal(travel + (5 / 10.0) + (10 / 1000.0), times.SegmentEndsS[0], 12);
        Assert.Equal(travel + (17 / 10.0) + (2 * 10 / 1000.0), times.TotalS, 12);
        Assert.Equal(travel, times.TravelS, 12);
        Assert.Equal(0, times.ScoreS);
    }

    [Fact]
    public void The_last_path_ends_when_the_plan_says() => Gen.Select(
        Gen.Select(Gen.Double[1, 90], Gen.Double[1, 90], Gen.Double[0.3, 5], Gen.Double[0.3, 5]).Array[1, 12], Gen.Double[2, 80], Gen.Double[200, 4000], Gen.Bool)
        .Check((at, speed, acceleration, rounds) =>
        {
            var settings = JobSettings.Default with { FilmSpeedMmS = speed, AccelerationMmS2 = acceleration, CornerSlowing = rounds ? "round" : "stop", OrderEffort = "quick" };
            var plan = Make.Plan(settings, [.. at.Select(r => Make.Rectangle(r.Item1, r.Item2, r.Item1 + r.Item3, r.Item2 + r.Item4))]).Film;
            var times = CutTimeline.Of(plan, settings);
            Assert.Equal(plan.TimeS, times.TotalS, 9);
            Assert.Equal(plan.TimeS, times.BeamOnS + times.TravelS, 9);
            Assert.Equal(plan.Paths.Sum(p => p.SegmentCount), times.SegmentEndsS.Length);
        }, iter: 60);

    [Fact]
    public void Time_never_runs_back()
    {
        var plan = Make.Plan(Make.Rectangle(10, 10, 12, 11), Make.Rectangle(20, 10, 20.1, 14), Make.Polygon((40, 40), (44, 41), (42, 45))).Film;
        var times = CutTimeline.Of(plan, JobSettings.Default);
        var now = 0.0;
        for (var p = 0; p < plan.Paths.Length; p++)
        {
            Assert.True(times.StartsS[p] >= now);
            now = times.StartsS[p];
            for (var i = times.FirstSegments[p]; i < times.FirstSegments[p + 1]; i++)
            {
                Assert.True(times.SegmentEndsS[i] > now);
                now = times.SegmentEndsS[i];
            }

            Assert.Equal(now, times.EndS(p));
        }
    }

    [Fact]
    public void An_empty_sheet_takes_no_time()
    {
        var times = CutTimeline.Of(Sheet(JobSettings.Default), JobSettings.Default);
        Assert.Equal((0, 0, 0), (times.TotalS, times.BeamOnS, times.TravelS));
    }

    private static SheetPlan Sheet(JobSettings settings, params CutPath[] paths) => new()
    {
        Name = "film",
        Blank = settings.FilmBlankMm,
        ThicknessMm = settings.FilmThicknessMm,
        CutPowerPercent = settings.FilmPowerPercent,
        CutSpeedMmS = settings.FilmSpeedMmS,
        ScorePowerPercent = settings.ScorePowerPercent,
        ScoreSpeedMmS = settings.ScoreSpeedMmS,
        Paths = [.. paths],
        CutLengthMm = 0,
        TravelLengthMm = 0,
        TimeS = 0,
    };
}
