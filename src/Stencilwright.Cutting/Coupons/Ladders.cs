using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Foundation;

namespace Stencilwright.Cutting.Coupons;

/// <summary>What stood and what opened.</summary>
internal static class Ladders
{
    /// <summary>Ids of features that did not open, or whose film before them tore.</summary>
    public static HashSet<string> Shut(ImmutableArray<CouponReading> readings) =>
        readings.Where(r => r.WidthMm == 0 || r.HeightMm == 0).Select(r => r.Id).ToHashSet(StringComparer.Ordinal);

    /// <summary>The narrowest web, as cut, that stood together with every wider one; the wider one of both directions.</summary>
    public static Estimate? NarrowestWeb(
        ImmutableArray<CouponFeature> features, ImmutableArray<CouponReading> readings, AxisFit x, AxisFit y)
    {
        Estimate? worst = null;
        foreach (var (kind, axis) in ((string, AxisFit)[])[(FeatureKinds.LadderX, x), (FeatureKinds.LadderY, y)])
        {
            // A web no wider than the kerf cannot stand, whatever somebody wrote.
            var seen = Rungs(features, readings, kind).Where(r => !r.Stands || AsCut(r.WebMm, axis).Value > 0);
            if (Narrowest(seen) is { } drawn)
            {
                var web = AsCut(drawn, axis);
                worst = worst is null || web.Value > worst.Value ? web : worst;
            }
        }

        return worst;
    }

    /// <summary>The narrowest opening, as cut, that opened together with every wider one.</summary>
    public static double? NarrowestOpening(
        ImmutableArray<CouponFeature> features, ImmutableArray<CouponReading> readings, AxisFit x, AxisFit y)
    {
        double? narrowest = null;
        foreach (var (wide, isOpen) in Openings(features, readings, x, y).OrderByDescending(o => o.Wide).ThenBy(o => o.IsOpen))
        {
            if (!isOpen)
            {
                break;
            }

            narrowest = wide;
        }

        return narrowest;
    }

    /// <summary>Says what ladders leave unknown.</summary>
    public static void Judge(
        ImmutableArray<CouponFeature> features,
        ImmutableArray<CouponReading> readings,
        HashSet<string> shut,
        Calibration c,
        SourcePlace file,
        ImmutableArray<Diagnostic>.Builder said)
    {
        var rungs = features.Where(f => f.WebMm is not null).Select(f => f.Id).ToHashSet(StringComparer.Ordinal);
        if (c.NarrowestWebMm is not { } web)
        {
            said.Add(Calibrations.Say("CUT045", Severity.Note, file,
                "the smallest web was not measured, so smallest_web_mm stays as it was: write 0 or torn behind the rungs of the ladders (P, Q) whose film tore, and open behind those where it stands."));
        }
        else if (!shut.Overlaps(rungs))
        {
            said.Add(Calibrations.Say("CUT046", Severity.Note, file, string.Create(CultureInfo.InvariantCulture,
                $"every web that was looked at stands, so the true limit may be finer than {web.Value:0.000} mm.")));
        }

        var others = features.Where(f => f.WebMm is null && shut.Contains(f.Id)).Select(f => f.Id).ToList();
        if (others.Count > 0)
        {
            said.Add(Calibrations.Say("CUT049", Severity.Note, file,
                $"did not open: {string.Join(", ", others)}; openings that small need more power, a slower cut, or a poke with a needle."));
        }
    }

    private static IEnumerable<(double WebMm, bool Stands)> Rungs(
        ImmutableArray<CouponFeature> features, ImmutableArray<CouponReading> readings, string kind)
    {
        var states = States(readings);
        foreach (var rung in features)
        {
            if (rung.Kind == kind && rung.WebMm is { } web && states.TryGetValue(rung.Id, out var stands))
            {
                yield return (web, stands);
            }
        }
    }

    private static double? Narrowest(IEnumerable<(double WebMm, bool Stands)> rungs)
    {
        double? narrowest = null;
        foreach (var (web, stands) in rungs.OrderByDescending(r => r.WebMm).ThenBy(r => r.Stands))
        {
            if (!stands)
            {
                break;
            }

            narrowest = web;
        }

        return narrowest;
    }

    private static IEnumerable<(double Wide, bool IsOpen)> Openings(
        ImmutableArray<CouponFeature> features, ImmutableArray<CouponReading> readings, AxisFit x, AxisFit y)
    {
        var states = States(readings);
        foreach (var f in features)
        {
            if (f.Kind is FeatureKinds.Square or FeatureKinds.Circle or FeatureKinds.SlotX or FeatureKinds.SlotY
                && states.TryGetValue(f.Id, out var isOpen))
            {
                yield return (Math.Min((x.Fit.P * f.WidthMm) + x.Fit.Q, (y.Fit.P * f.HeightMm) + y.Fit.Q), isOpen);
            }
        }
    }

    // Several readings of one thing: it is shut when any of them says so. A slug that was measured has fallen out.
    private static Dictionary<string, bool> States(ImmutableArray<CouponReading> readings)
    {
        var states = new Dictionary<string, bool>(StringComparer.Ordinal);
        foreach (var r in readings)
        {
            var isShut = r.WidthMm == 0 || r.HeightMm == 0;
            if (isShut || r.IsOpen || r.WidthMm > 0 || r.HeightMm > 0)
            {
                states[r.Id] = !isShut && states.GetValueOrDefault(r.Id, true);
            }
        }

        return states;
    }

    // Film between two openings loses half a kerf on each side.
    private static Estimate AsCut(double drawnMm, AxisFit axis)
    {
        var fit = axis.Fit;
        var variance = (drawnMm * drawnMm * fit.VarP) - (2 * drawnMm * fit.CovPQ) + fit.VarQ;
        return Calibrations.Estimate((fit.P * drawnMm) - fit.Q, fit.Sigma * Math.Sqrt(Math.Max(variance, 0)), fit.Degrees, axis.Kept);
    }
}
