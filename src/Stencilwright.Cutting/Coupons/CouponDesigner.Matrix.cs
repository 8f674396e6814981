using System.Globalization;
using Stencilwright.Design;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting.Coupons;

/// <content>The power and speed coupon.</content>
public static partial class CouponDesigner
{
    private const double CellMm = 5;
    private const double CellPitchMm = 9;
    private const double MatrixTextMm = 1.5;

    // Room for the speeds on the left and the powers below; title above.
    private const double LeftMm = 14;
    private const double BelowMm = 7;
    private const double AboveMm = 9;

    // Shares of the power and speed in force, from where a cut will hardly go through to where the film melts.
    private static readonly double[] _powerShares = [0.6, 0.75, 0.9, 1, 1.15, 1.35, 1.6];
    private static readonly double[] _speedShares = [0.5, 0.7, 0.85, 1, 1.25, 1.6, 2];

    /// <summary>Lays out the power and speed coupon: squares of 5 mm, power rising to the right and speed rising upwards.</summary>
    /// <param name="settings">The film blank; the power and speed about which the others lie.</param>
    /// <param name="cancellation">Stops the work with an <see cref="OperationCanceledException"/>.</param>
    /// <returns>The coupon, or the diagnostic CUT040 that says by how much the blank is too small.</returns>
    public static Outcome<Coupon> DesignMatrix(JobSettings settings, CancellationToken cancellation = default)
    {
        ArgumentNullException.ThrowIfNull(settings);
        var powers = Steps(settings.FilmPowerPercent, _powerShares, 1, 100);
        var speeds = Steps(settings.FilmSpeedMmS, _speedShares, 1, double.PositiveInfinity);
        var content = new FeatureSize(LeftMm + (powers.Count * CellPitchMm), BelowMm + (speeds.Count * CellPitchMm) + AboveMm);
        var blank = settings.FilmBlankMm;
        if (content.WidthMm + (2 * MarginMm) > blank.WidthMm || content.HeightMm + (2 * MarginMm) > blank.HeightMm)
        {
            return new Outcome<Coupon>(null, [TooSmall(blank, content)]);
        }

        var pen = new CouponPen();
        var corner = new Point2((blank.WidthMm - content.WidthMm) / 2, (blank.HeightMm - content.HeightMm) / 2);
        DrawMatrix(pen, corner, powers, speeds);
        pen.Write("POWER % ACROSS, SPEED MM/S UP", new(corner.X + LeftMm, corner.Y + content.HeightMm - 5), 2);
        return new Outcome<Coupon>(
            new Coupon { Purpose = CouponPurpose.PowerSpeed, Features = [.. pen.Features], Sheet = pen.Plan(settings, blank, cancellation) }, []);
    }

    private static void DrawMatrix(CouponPen pen, Point2 corner, List<double> powers, List<double> speeds)
    {
        var (x0, y0) = (corner.X + LeftMm + (CellPitchMm / 2), corner.Y + BelowMm + (CellPitchMm / 2));
        for (var column = 0; column < powers.Count; column++)
        {
            var text = powers[column].ToString("0.#", CultureInfo.InvariantCulture);
            pen.WriteCentred(text, new(x0 + (column * CellPitchMm), corner.Y + BelowMm - 3), MatrixTextMm);
        }

        for (var row = 0; row < speeds.Count; row++)
        {
            var text = speeds[row].ToString("0.#", CultureInfo.InvariantCulture);
            var y = y0 + (row * CellPitchMm);
            pen.Write(text, new(corner.X + LeftMm - 1.5 - StrokeFont.WidthMm(text, MatrixTextMm), y - (MatrixTextMm / 2)), MatrixTextMm);
            for (var column = 0; column < powers.Count; column++)
            {
                var x = x0 + (column * CellPitchMm);
                var box = new Bounds2(x - (CellMm / 2), y - (CellMm / 2), x + (CellMm / 2), y + (CellMm / 2));
                pen.Cut(
                    new CouponFeature
                    {
                        Id = CouponBlocks.Id((char)('A' + row), column),
                        Kind = FeatureKinds.Cell,
                        Center = box.Center,
                        WidthMm = CellMm,
                        HeightMm = CellMm,
                        PowerPercent = powers[column],
                        SpeedMmS = speeds[row],
                    },
                    Contour.Rectangle(box));
            }
        }
    }

    // Rounded so that a person can set them again by hand; what rounding or the limit makes equal is cut once.
    private static List<double> Steps(double middle, double[] shares, int decimals, double most)
    {
        var steps = new List<double>();
        foreach (var share in shares)
        {
            var value = Math.Min(Math.Max(Math.Round(middle * share, decimals), 0.1), most);
            if (steps.Count == 0 || value > steps[^1])
            {
                steps.Add(value);
            }
        }

        return steps;
    }
}
