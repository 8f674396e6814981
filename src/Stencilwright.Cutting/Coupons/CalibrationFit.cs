using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Foundation;

namespace Stencilwright.Cutting.Coupons;

/// <summary>Fits what a laser does to a film from what was read off a cut coupon.</summary>
/// <remarks>
/// Model: an opening is cut scaleX · width + kerfX wide and scaleY · height + kerfY high; what fell out of it is smaller by the
/// kerf instead of larger; a drawn point (x, y) is cut at (scaleX·x + scaleY·y·tan skew, scaleY·y). The method: docs/calibration.md.
/// </remarks>
public static class CalibrationFit
{
    /// <summary>Readings that each axis needs at least: two unknowns and one to check them by.</summary>
    public const int LeastReadings = 3;

    // A scale less certain than ±0.4 % at 95 % says less than a machine's own promise: it is taken as 1.
    private const double MostScaleError = 0.002;

    private const double ManyRejected = 1.0 / 3;
    private const double CoarseMm = 0.05;

    /// <summary>Fits a calibration.</summary>
    /// <param name="features">What the coupon holds.</param>
    /// <param name="readings">What was read; ids that the coupon does not hold are passed over.</param>
    /// <param name="file">Name of the file of readings, for diagnostics that concern all of it.</param>
    /// <returns>The calibration, or null with a CUT diagnostic that says what is missing.</returns>
    public static Outcome<Calibration> Fit(
        ImmutableArray<CouponFeature> features, ImmutableArray<CouponReading> readings, string file)
    {
        ArgumentNullException.ThrowIfNull(file);
        var work = new Work(features, readings, file);
        return work.Run();
    }

    private sealed class Work
    {
        private readonly Dictionary<string, CouponFeature> _features = new(StringComparer.Ordinal);
        private readonly ImmutableArray<CouponReading> _readings;
        private readonly SourcePlace _file;
        private readonly AxisFit _x = new("width");
        private readonly AxisFit _y = new("height");
        private readonly SkewFit _skew = new();
        private readonly SortedDictionary<string, string> _rejected = new(StringComparer.Ordinal);
        private readonly HashSet<string> _fitted = new(StringComparer.Ordinal);
        private readonly ImmutableArray<Diagnostic>.Builder _said = ImmutableArray.CreateBuilder<Diagnostic>();
        private readonly ImmutableArray<CouponFeature> _order;

        public Work(ImmutableArray<CouponFeature> features, ImmutableArray<CouponReading> readings, string file)
        {
            _order = features;
            foreach (var feature in features)
            {
                _features[feature.Id] = feature;
            }

            _readings = [.. readings.Where(r => _features.ContainsKey(r.Id))];
            _file = SourcePlace.Whole(file);
        }

        public Outcome<Calibration> Run()
        {
            Sort();
            if (_x.Count < LeastReadings || _y.Count < LeastReadings)
            {
                TooFew();
                return new Outcome<Calibration>(null, _said.ToImmutable());
            }

            _x.Search(MostScaleError, _rejected);
            _y.Search(MostScaleError, _rejected);
            _x.Settle(_rejected);
            _y.Settle(_rejected);
            if (_x.Kept < LeastReadings || _y.Kept < LeastReadings)
            {
                TooFew();
                return new Outcome<Calibration>(null, _said.ToImmutable());
            }

            var skew = Skew();
            var shut = Ladders.Shut(_readings);
            var web = Ladders.NarrowestWeb(_order, _readings, _x, _y);
            var calibration = new Calibration
            {
                KerfXMm = _x.Kerf(),
                KerfYMm = _y.Kerf(),
                ScaleX = _x.Scale(),
                ScaleY = _y.Scale(),
                SkewMrad = skew,
                NarrowestWebMm = web,
                NarrowestOpeningMm = Ladders.NarrowestOpening(_order, _readings, _x, _y),
                FeaturesUsed = _fitted.Count(id => !_rejected.ContainsKey(id)),
                Rejected = [.. _order.Select(f => Rejected(f.Id, shut)).OfType<RejectedFeature>()],
                ResidualRmsMm = Rms(),
            };
            Judge(calibration, shut);
            return new Outcome<Calibration>(_said.Any(d => d.Severity == Severity.Error) ? null : calibration, _said.ToImmutable());
        }

        // Readings of one thing that were taken more than once count as one, their mean: the thing is what scatters most.
        private void Sort()
        {
            foreach (var group in _readings.GroupBy(r => (r.Id, r.IsSlug)))
            {
                var feature = _features[group.Key.Id];
                var isDiagonal = feature.Kind is FeatureKinds.DiagonalA or FeatureKinds.DiagonalB;
                if (Mean(group.Select(r => r.WidthMm)) is { } width)
                {
                    if (isDiagonal)
                    {
                        _skew.Add(feature, width);
                    }
                    else
                    {
                        _x.Add(feature.Id, feature.WidthMm, width, group.Key.IsSlug);
                        _fitted.Add(feature.Id);
                    }
                }

                if (!isDiagonal && Mean(group.Select(r => r.HeightMm)) is { } height && !group.Any(r => r.WidthMm == 0))
                {
                    _y.Add(feature.Id, feature.HeightMm, height, group.Key.IsSlug);
                    _fitted.Add(feature.Id);
                }
            }
        }

        private static double? Mean(IEnumerable<double?> values)
        {
            var read = values.Where(v => v > 0).Select(v => v!.Value).ToList();
            return read.Count == 0 ? null : read.Average();
        }

        private Estimate Skew()
        {
            var (squares, degrees) = (_x.Fit.SquareSum + _y.Fit.SquareSum, _x.Fit.Degrees + _y.Fit.Degrees);
            var sigma = Math.Sqrt(squares / degrees);
            if (!_skew.Search(_x.Fit, _y.Fit, sigma, degrees, _rejected))
            {
                _said.Add(Calibrations.Say("CUT043", Severity.Warning, _file,
                    "skew was not measured and is taken as 0: measure at least one diagonal that rises and its partner that falls (D1 and D2), each over the far edges of its two holes."));
                return new Estimate(0, null, null, null, 0);
            }

            foreach (var id in _skew.Used)
            {
                _fitted.Add(id);
            }

            // The slope of the angle over its tangent is 1 / (1 + t²).
            var error = sigma * Math.Sqrt(_skew.Variance) / (1 + (_skew.Tangent * _skew.Tangent));
            return Calibrations.Estimate(1000 * Math.Atan(_skew.Tangent), 1000 * error, degrees, _skew.Used.Count);
        }

        private double Rms()
        {
            return Math.Sqrt((_x.Fit.SquareSum + _y.Fit.SquareSum) / (_x.Kept + _y.Kept));
        }

        private RejectedFeature? Rejected(string id, HashSet<string> shut) =>
            _rejected.TryGetValue(id, out var why) ? new(id, why)
            : shut.Contains(id) && !_fitted.Contains(id) ? new(id, _features[id].WebMm is null ? "it did not open" : "the film between it and the rung before it tore, or it did not open")
            : null;

        private void TooFew()
        {
            foreach (var (axis, what, kept) in ((AxisFit, string, int)[])[(_x, "widths", Kept(_x)), (_y, "heights", Kept(_y))])
            {
                if (kept < LeastReadings)
                {
                    var agree = axis.Count == kept ? "" : string.Create(CultureInfo.InvariantCulture, $" of {axis.Count} that agree with one another");
                    _said.Add(Calibrations.Say("CUT041", Severity.Error, _file, string.Create(CultureInfo.InvariantCulture,
                        $"only {kept} {what}{agree} were read, and at least {LeastReadings} are needed: measure squares of several sizes and, for the scale, the rulers.")));
                }
            }

            static int Kept(AxisFit axis) => axis.Count < LeastReadings ? axis.Count : axis.Kept;
        }

        private void Judge(Calibration c, HashSet<string> shut)
        {
            foreach (var reading in _readings.DistinctBy(r => r.Id))
            {
                if (_rejected.TryGetValue(reading.Id, out var why))
                {
                    _said.Add(Calibrations.Say("CUT044", Severity.Warning, reading.Place, $"{reading.Id} is set aside: {why}; measure it again."));
                }
            }

            NoScale(c.ScaleX, "x", "A1");
            NoScale(c.ScaleY, "y", "B1");
            if (_rejected.Count > ManyRejected * _fitted.Count || c.ResidualRmsMm > CoarseMm)
            {
                _said.Add(Calibrations.Say("CUT047", Severity.Warning, _file, string.Create(CultureInfo.InvariantCulture,
                    $"the readings scatter widely ({_rejected.Count} of {_fitted.Count} features set aside, the rest off by {c.ResidualRmsMm:0.000} mm root mean square): check that they belong to this coupon, are in millimetres, and that width is along x.")));
            }

            Ladders.Judge(_order, _readings, shut, c, _file, _said);
            Implausible("kerf_x_mm", c.KerfXMm.Value, 0, 2);
            Implausible("kerf_y_mm", c.KerfYMm.Value, 0, 2);
            Implausible("scale_x", c.ScaleX.Value, 0.9, 1.1);
            Implausible("scale_y", c.ScaleY.Value, 0.9, 1.1);
            Implausible("skew_mrad", c.SkewMrad.Value, -50, 50);
        }

        private void NoScale(Estimate scale, string axis, string ruler)
        {
            if (!scale.IsMeasured)
            {
                _said.Add(Calibrations.Say("CUT042", Severity.Warning, _file,
                    $"the scale along {axis} was not measured well enough and is taken as 1: the features read are too much alike in size; measure the rulers, {ruler} first."));
            }
        }

        private void Implausible(string name, double value, double least, double most)
        {
            if (!(value > least && value < most))
            {
                _said.Add(Calibrations.Say("CUT048", Severity.Error, _file, string.Create(CultureInfo.InvariantCulture,
                    $"the readings give {name} = {value:0.####}, which no small laser can mean (between {least} and {most}): check that they are in millimetres, belong to this coupon, and that holes were measured (slugs are written with :slug behind their id).")));
            }
        }
    }
}
