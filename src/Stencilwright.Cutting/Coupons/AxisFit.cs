using System.Globalization;
using System.Runtime.InteropServices;
using Stencilwright.Foundation;

namespace Stencilwright.Cutting.Coupons;

/// <summary>The readings along one axis: size as cut = scale · size as drawn ± kerf.</summary>
internal sealed class AxisFit
{
    private readonly List<string> _ids = [];
    private readonly List<TwoTermRow> _rows = [];
    private readonly string _what;

    /// <param name="what">What is read along this axis, in words: width or height.</param>
    public AxisFit(string what)
    {
        _what = what;
    }

    /// <summary>The fit over the rows kept.</summary>
    public TwoTermFit Fit { get; private set; } = new(1, 0, 0, 0, 0, 0, 0);

    /// <summary>False when scale was not to be told from the kerf and is taken as 1.</summary>
    public bool HasScale { get; private set; }

    /// <summary>Rows the fit rests on.</summary>
    public int Kept { get; private set; }

    /// <summary>All rows.</summary>
    public int Count => _rows.Count;

    /// <summary>Takes a reading.</summary>
    /// <param name="id">The feature.</param>
    /// <param name="drawnMm">As drawn.</param>
    /// <param name="readMm">As read.</param>
    /// <param name="isSlug">What fell out is smaller by the kerf; the hole is larger by it.</param>
    public void Add(string id, double drawnMm, double readMm, bool isSlug)
    {
        _ids.Add(id);
        _rows.Add(new(drawnMm, isSlug ? -1 : 1, readMm));
    }

    /// <summary>Fits, and names in <paramref name="rejected"/> what does not belong, with the reason.</summary>
    /// <param name="mostScaleError">A scale less certain than this is not told at all.</param>
    /// <param name="rejected">Reasons by id.</param>
    public void Search(double mostScaleError, SortedDictionary<string, string> rejected)
    {
        var rows = CollectionsMarshal.AsSpan(_rows);
        var keep = RobustFit.Keep(rows);
        var fit = keep is null ? null : TwoTermFit.Solve(rows, Weights(keep));
        HasScale = fit is { Degrees: > 0 } found && found.Sigma * Math.Sqrt(found.VarP) <= mostScaleError;
        if (!HasScale)
        {
            keep = RobustFit.Keep(rows, 1)!;
            fit = TwoTermFit.Solve(rows, Weights(keep), 1);
        }

        Fit = fit!;
        for (var i = 0; i < keep!.Length; i++)
        {
            if (!keep[i] && !rejected.ContainsKey(_ids[i]))
            {
                rejected.Add(_ids[i], Why(rows[i]));
            }
        }
    }

    /// <summary>Fits again without the features named.</summary>
    public void Settle(SortedDictionary<string, string> rejected)
    {
        var rows = CollectionsMarshal.AsSpan(_rows);
        var keep = _ids.ConvertAll(id => !rejected.ContainsKey(id)).ToArray();
        Kept = keep.Count(k => k);
        HasScale &= TwoTermFit.Solve(rows, Weights(keep)) is { Degrees: > 0 };
        Fit = TwoTermFit.Solve(rows, Weights(keep), HasScale ? null : 1) ?? Fit;
    }

    /// <summary>The kerf with its errors; the spread is the readings' own.</summary>
    public Estimate Kerf() => Calibrations.Estimate(Fit.Q, Fit.Sigma * Math.Sqrt(Fit.VarQ), Fit.Degrees, Kept);

    /// <summary>The scale with its errors, or 1 as an assumption.</summary>
    public Estimate Scale() => HasScale
        ? Calibrations.Estimate(Fit.P, Fit.Sigma * Math.Sqrt(Fit.VarP), Fit.Degrees, Kept)
        : new Estimate(1, null, null, null, 0);

    private string Why(TwoTermRow row)
    {
        var off = Fit.Residual(row);
        return string.Create(CultureInfo.InvariantCulture,
            $"its {_what} of {row.Y:0.###} mm is {Math.Abs(off):0.000} mm {(off > 0 ? "more" : "less")} than fits the other readings ({row.Y - off:0.000} mm)");
    }

    private static double[] Weights(bool[] keep) => Array.ConvertAll(keep, k => k ? 1.0 : 0.0);
}

/// <summary>Helps to put estimates and diagnostics together.</summary>
internal static class Calibrations
{
    public static Estimate Estimate(double value, double error, int degrees, int readings)
    {
        var reach = degrees > 0 ? error * StudentT.Quantile(0.95, degrees) : double.NaN;
        return double.IsFinite(reach)
            ? new(value, error, value - reach, value + reach, readings)
            : new(value, null, null, null, readings);
    }

    public static Diagnostic Say(string code, Severity severity, SourcePlace place, string message) => new(code, severity, message, place);
}
