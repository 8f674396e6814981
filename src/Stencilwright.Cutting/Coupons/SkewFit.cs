using System.Globalization;

namespace Stencilwright.Cutting.Coupons;

/// <summary>The lengths of diagonals: skew makes those that rise longer and those that fall shorter, or the other way round.</summary>
/// <remarks>
/// Only the difference between the two diagonals of one rectangle tells skew; what is common to both, such as the way in which a
/// reader sets the calipers to their ends, drops out. A second rectangle tells when a diagonal was read wrongly.
/// </remarks>
internal sealed class SkewFit
{
    // Diagonals that are together longer or shorter than this share of what was expected are not what was measured.
    private const double MostShareOff = 0.01;
    private const double LeastSpreadMm = 0.001;
    private const double Within35 = 0.999534742;

    private readonly List<Diagonal> _diagonals = [];

    /// <summary>tan skew, when it was found.</summary>
    public double Tangent { get; private set; }

    /// <summary>Variance of the tangent for readings of variance 1 mm².</summary>
    public double Variance { get; private set; }

    /// <summary>Diagonals that the skew rests on.</summary>
    public List<string> Used { get; } = [];

    /// <summary>Takes a diagonal's length over the far edges of its ends.</summary>
    public void Add(CouponFeature feature, double readMm)
    {
        var (sin, cos) = Math.SinCos(feature.RotationDeg * Math.PI / 180);
        var length = feature.WidthMm - feature.HeightMm;
        if (length > 0)
        {
            _diagonals.Add(new(feature.Id, length * cos, length * sin, feature.HeightMm, readMm));
        }
    }

    /// <summary>Finds the skew from the axes as fitted.</summary>
    /// <param name="x">Along x.</param>
    /// <param name="y">Along y.</param>
    /// <param name="sigmaMm">Spread of one reading.</param>
    /// <param name="degrees">What that spread rests on.</param>
    /// <param name="rejected">Takes the diagonals that do not belong.</param>
    /// <returns>False when the diagonals do not tell, or tell nonsense.</returns>
    public bool Search(TwoTermFit x, TwoTermFit y, double sigmaMm, int degrees, SortedDictionary<string, string> rejected)
    {
        var pairs = Pairs(x, y);
        var limit = StudentT.Quantile(Within35, degrees) * Math.Max(sigmaMm, LeastSpreadMm);
        while (pairs.Count > 1 && Farthest(pairs) > limit)
        {
            pairs.RemoveAt(Wrong(pairs, x, y, rejected));
        }

        if (pairs.Count == 0)
        {
            return false;
        }

        (Tangent, Variance) = Mean(pairs);
        Used.AddRange(pairs.SelectMany(p => (string[])[p.Rising.Id, p.Falling.Id]));
        return true;
    }

    private List<Pair> Pairs(TwoTermFit x, TwoTermFit y)
    {
        const double SameMm = 1e-3;
        var pairs = new List<Pair>();
        foreach (var rising in _diagonals.Where(d => d.X * d.Y > 0))
        {
            var falling = _diagonals.Find(d => d.X * d.Y < 0 && Math.Abs(Math.Abs(d.X) - Math.Abs(rising.X)) < SameMm
                && Math.Abs(Math.Abs(d.Y) - Math.Abs(rising.Y)) < SameMm && !pairs.Exists(p => p.Falling == d));
            if (falling is null)
            {
                continue;
            }

            var (t, slope) = (0.0, 0.0);
            for (var round = 0; round < 6; round++)
            {
                var (r, f) = (rising.Expected(x, y, t), falling.Expected(x, y, t));
                slope = r.Slope - f.Slope;
                t += (rising.ReadMm - falling.ReadMm - (r.LengthMm - f.LengthMm)) / slope;
            }

            var sum = rising.Expected(x, y, t).LengthMm + falling.Expected(x, y, t).LengthMm;
            if (Math.Abs(rising.ReadMm + falling.ReadMm - sum) <= MostShareOff * sum)
            {
                // Of two readings of variance 1.
                pairs.Add(new(rising, falling, t, 2 / (slope * slope)));
            }
        }

        return pairs;
    }

    private static (double Tangent, double Variance) Mean(List<Pair> pairs)
    {
        var weight = pairs.Sum(p => 1 / p.Variance);
        return (pairs.Sum(p => p.Tangent / p.Variance) / weight, 1 / weight);
    }

    // How far the pair that differs most is from the others, in standard deviations of variance 1.
    private static double Farthest(List<Pair> pairs) => pairs.Max(p =>
    {
        var others = Mean([.. pairs.Where(o => o != p)]);
        return Math.Abs(p.Tangent - others.Tangent) / Math.Sqrt(p.Variance + others.Variance);
    });

    // The diagonal whose length is farthest from what the other pairs let expect; its partner tells nothing without it.
    private static int Wrong(List<Pair> pairs, TwoTermFit x, TwoTermFit y, SortedDictionary<string, string> rejected)
    {
        var (at, off, wrong, partner) = (0, -1.0, pairs[0].Rising, pairs[0].Falling);
        for (var i = 0; i < pairs.Count; i++)
        {
            var t = Mean([.. pairs.Where(o => o != pairs[i])]).Tangent;
            foreach (var (one, other) in ((Diagonal, Diagonal)[])[(pairs[i].Rising, pairs[i].Falling), (pairs[i].Falling, pairs[i].Rising)])
            {
                var own = Math.Abs(one.ReadMm - one.Expected(x, y, t).LengthMm);
                (at, off, wrong, partner) = own > off ? (i, own, one, other) : (at, off, wrong, partner);
            }
        }

        rejected.TryAdd(wrong.Id, string.Create(CultureInfo.InvariantCulture,
            $"its length of {wrong.ReadMm:0.###} mm is {off:0.000} mm off what the other diagonals let expect"));
        rejected.TryAdd(partner.Id, $"it tells nothing without {wrong.Id}, which is set aside");
        return at;
    }

    private sealed record Pair(Diagonal Rising, Diagonal Falling, double Tangent, double Variance);

    private sealed record Diagonal(string Id, double X, double Y, double EndMm, double ReadMm)
    {
        /// <summary>Length over the far edges as cut, and how it grows with the tangent.</summary>
        public (double LengthMm, double Slope) Expected(TwoTermFit x, TwoTermFit y, double tangent)
        {
            var (cx, cy) = ((x.P * X) + (y.P * Y * tangent), y.P * Y);
            var length = Math.Sqrt((cx * cx) + (cy * cy));
            var (ux, uy) = (cx / length, cy / length);
            // A round end, stretched and leaning like the sheet, swept by the beam's ellipse: both supports along the diagonal.
            var leaning = y.P * ((tangent * ux) + uy);
            var ends = (EndMm * Math.Sqrt((x.P * ux * x.P * ux) + (leaning * leaning)))
                + Math.Sqrt((x.Q * ux * x.Q * ux) + (y.Q * uy * y.Q * uy));
            return (length + ends, cx * y.P * Y / length);
        }
    }
}
