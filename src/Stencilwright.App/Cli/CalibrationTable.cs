using System.Globalization;
using Stencilwright.Cutting.Coupons;
using Stencilwright.Workbench.Coupons;

namespace Stencilwright.App.Cli;

/// <summary>Tells a person what a coupon holds and what was fitted from it.</summary>
internal static class CalibrationTable
{
    /// <summary>What was written, and what to do with it.</summary>
    public static void Write(CouponResult result, string directory, TextWriter output)
    {
        var coupon = result.Coupon!;
        var seconds = (long)Math.Ceiling(coupon.Sheet.TimeS);
        var time = Invariant($"{seconds / 60} min {seconds % 60:00} s");
        output.WriteLine(coupon.Purpose == CouponPurpose.Calibration
            ? Invariant($"Calibration coupon: {coupon.Features.Length} features, cut in about {time}.")
            : Invariant($"Power and speed coupon: {coupon.Features.Length} squares, cut in about {time}."));
        output.WriteLine($"{result.WrittenFiles.Length} files in {Printable.Text(directory)}.");
        output.WriteLine(coupon.Purpose == CouponPurpose.Calibration
            ? "Cut coupon.svg, coupon.dxf or coupon.nc, measure, fill in measured.csv, then run"
            : "Cut coupon.nc, or coupon.svg with each colour's own power and speed. Take the fastest square that falls");
        output.WriteLine(coupon.Purpose == CouponPurpose.Calibration
            ? $"  stencilwright calibrate --coupon {Printable.Text(directory)} --measured {Printable.Text(Path.Combine(directory, "measured.csv"))} --out recipe.toml"
            : "out by itself with a clean edge; set film_power_percent and film_speed_mm_s to its power and speed.");
    }

    /// <summary>Values with their uncertainty, and what was set aside.</summary>
    public static void Write(Calibration c, string? recipe, TextWriter output)
    {
        output.WriteLine("                    value      ± std. error   95 % interval            from");
        Row(output, "kerf along x", c.KerfXMm, "mm", 4);
        Row(output, "kerf along y", c.KerfYMm, "mm", 4);
        Row(output, "scale along x", c.ScaleX, "", 5);
        Row(output, "scale along y", c.ScaleY, "", 5);
        Row(output, "skew", c.SkewMrad, "mrad", 3);
        if (c.NarrowestWebMm is { } web)
        {
            Row(output, "smallest web", web, "mm", 4);
        }
        else
        {
            output.WriteLine("smallest web        not measured");
        }

        output.WriteLine(c.NarrowestOpeningMm is { } opening
            ? Invariant($"smallest opening    {opening:0.000} mm, as cut")
            : "smallest opening    not measured");
        output.WriteLine();
        output.WriteLine(Invariant($"{c.FeaturesUsed} features used, {c.Rejected.Length} not; readings differ from the fit by {c.ResidualRmsMm:0.0000} mm root mean square."));
        foreach (var rejected in c.Rejected)
        {
            output.WriteLine($"  {Printable.Text(rejected.Id)}: {rejected.Why}");
        }

        if (recipe is not null)
        {
            output.WriteLine($"Recipe in {Printable.Text(recipe)}; use it with prepare … --job {Printable.Text(recipe)}");
        }
    }

    private static void Row(TextWriter output, string name, Estimate e, string unit, int decimals)
    {
        var value = Text(e.Value, decimals);
        if (!e.IsMeasured)
        {
            output.WriteLine($"{name,-16}{value,9} {unit,-4} not measured, assumed");
            return;
        }

        var interval = $"{Text(e.Low!.Value, decimals)} … {Text(e.High!.Value, decimals)}";
        output.WriteLine($"{name,-16}{value,9} {unit,-4} ± {Text(e.StandardError!.Value, decimals + 1),-11}  {interval,-22} {e.Readings,4} readings");
    }

    // Rounded first, and 0 added: what rounds to nothing has no sign.
    private static string Text(double value, int decimals) =>
        (Math.Round(value, decimals) + 0.0).ToString("F" + decimals, CultureInfo.InvariantCulture);

    private static string Invariant(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
