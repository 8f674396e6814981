using System.Collections.Immutable;
using Stencilwright.Cutting.Coupons;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting.Tests.Coupons;

/// <summary>A machine whose errors are known, and a reader whose hand is not quite steady.</summary>
internal sealed record PlantedMachine(double ScaleX, double ScaleY, double SkewMrad, double KerfXMm, double KerfYMm)
{
    public static PlantedMachine Usual { get; } = new(1.0021, 0.9978, 2.5, 0.162, 0.131);

    private double Lean => ScaleY * Math.Tan(SkewMrad / 1000);

    /// <summary>Where a drawn point is cut.</summary>
    public Affine2 Map => new(ScaleX, Lean, 0, 0, ScaleY, 0);

    /// <summary>What is open when the beam has followed a path.</summary>
    public Region Cut(CutPath path) => RegionOffset.Outset(path.AsRegion().Transform(Map), KerfXMm / 2, KerfYMm / 2);

    /// <summary>Everything on the coupon read, with normal errors of a standard deviation.</summary>
    public ImmutableArray<CouponReading> Read(Coupon coupon, Random random, double errorMm) =>
        [.. coupon.Features.Select(f => new CouponReading
        {
            Id = f.Id,
            WidthMm = Width(f) + (errorMm * Normal(random)),
            HeightMm = (ScaleY * f.HeightMm) + KerfYMm + (errorMm * Normal(random)),
            Place = SourcePlace.Whole("measured.csv"),
        })];

    private double Width(CouponFeature f) => f.Ends.Length == 2 && f.RotationDeg != 0
        ? Length(f.Ends[0], f.Ends[1])
        : (ScaleX * f.WidthMm) + KerfXMm;

    // Calipers along a diagonal, found by trying: the widest extent of both cut holes over directions near it.
    private double Length(FeatureEnd a, FeatureEnd b)
    {
        var v = Map.Apply(b.Center - a.Center);
        var along = Math.Atan2(v.Y, v.X);
        var longest = 0.0;
        for (var i = -200; i <= 200; i++)
        {
            var angle = along + (i * 1e-5);
            var (u, w) = (Math.Cos(angle), Math.Sin(angle));
            // Half width of the round end, as leaned and stretched, and of the beam, in that direction.
            var hole = a.WidthMm / 2 * Math.Sqrt((ScaleX * u * ScaleX * u) + (((Lean * u) + (ScaleY * w)) * ((Lean * u) + (ScaleY * w))));
            var beam = Math.Sqrt((KerfXMm * u * KerfXMm * u / 4) + (KerfYMm * w * KerfYMm * w / 4));
            var extent = (v.X * u) + (v.Y * w) + (2 * (hole + beam));
            longest = Math.Max(longest, extent);
        }

        return longest;
    }

    // Box and Muller 1958.
    private static double Normal(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
