using System.Buffers;
using System.Collections.Immutable;
using System.Text.Json;
using Stencilwright.Cutting.Coupons;
using Stencilwright.Foundation;

namespace Stencilwright.Output.Coupons;

/// <summary>Writes every file of a coupon into memory; the same coupon gives the same bytes.</summary>
public static class CouponFiles
{
    /// <summary>Names of all files that some coupon has.</summary>
    public static ImmutableArray<string> Names { get; } =
        ["coupon.json", "coupon.svg", "coupon.dxf", "coupon.nc", "coupon.png", "measured.csv"];

    private static readonly JsonWriterOptions _options = new() { Indented = true, NewLine = "\n", IndentSize = 1, SkipValidation = true };

    /// <summary>Writes a coupon's files, <c>coupon.json</c> first.</summary>
    /// <param name="coupon">The coupon.</param>
    /// <param name="settings">Words and numbers of G-code.</param>
    /// <exception cref="ArgumentException">A coordinate is not finite.</exception>
    public static ImmutableArray<OutputFile> Write(Coupon coupon, JobSettings settings)
    {
        ArgumentNullException.ThrowIfNull(coupon);
        ArgumentNullException.ThrowIfNull(settings);
        var title = coupon.Purpose == CouponPurpose.Calibration ? "Calibration coupon" : "Power and speed coupon";
        var files = ImmutableArray.CreateBuilder<OutputFile>();
        files.Add(new("coupon.json", Json(coupon)));
        files.Add(new("coupon.svg", SvgSheetWriter.Write(coupon.Sheet, title, SvgPens.Of(settings))));
        files.Add(new("coupon.dxf", DxfWriter.Write(coupon.Sheet, title, settings)));
        files.Add(new("coupon.nc", GcodeWriter.Write(coupon.Sheet, title, OfMachine(settings))));
        files.Add(new("coupon.png", CouponPicture.Write(coupon)));
        if (coupon.Purpose == CouponPurpose.Calibration)
        {
            files.Add(new("measured.csv", MeasuringSheet(coupon)));
        }

        return files.ToImmutable();
    }

    /// <summary>The machine without what the coupon is to measure, and with the sheet square to its axes, whose scales it tells.</summary>
    public static JobSettings OfMachine(JobSettings settings)
    {
        ArgumentNullException.ThrowIfNull(settings);
        return settings with { ScaleX = 1, ScaleY = 1, SkewMrad = 0, PlacedFromMm = "", PlacedAtMm = "" };
    }

    /// <summary>The list of features, for programs.</summary>
    public static byte[] Json(Coupon coupon)
    {
        ArgumentNullException.ThrowIfNull(coupon);
        var buffer = new ArrayBufferWriter<byte>(16 * 1024);
        using var json = new Utf8JsonWriter(buffer, _options);
        json.WriteStartObject();
        json.WriteNumber("formatVersion", 1);
        json.WriteString("purpose", coupon.Purpose == CouponPurpose.Calibration ? "calibration" : "power-speed");
        json.WriteStartObject("blank");
        Number(json, "widthMm", coupon.Sheet.Blank.WidthMm);
        Number(json, "heightMm", coupon.Sheet.Blank.HeightMm);
        json.WriteEndObject();
        Number(json, "filmThicknessMm", coupon.Sheet.ThicknessMm);
        json.WriteStartArray("features");
        foreach (var feature in coupon.Features)
        {
            Feature(json, feature);
        }

        json.WriteEndArray();
        json.WriteEndObject();
        json.Flush();
        return [.. buffer.WrittenSpan, (byte)'\n'];
    }

    /// <summary>A table to fill in, one line a feature, in the order in which they lie on the sheet.</summary>
    public static byte[] MeasuringSheet(Coupon coupon)
    {
        ArgumentNullException.ThrowIfNull(coupon);
        var text = new PlainText();
        text.Add("id,widthMm,heightMm\n");
        foreach (var feature in coupon.Features)
        {
            text.Add(feature.Id).Add(",,\n");
        }

        return text.ToBytes();
    }

    private static void Feature(Utf8JsonWriter json, CouponFeature feature)
    {
        json.WriteStartObject();
        json.WriteString("id", feature.Id);
        json.WriteString("kind", feature.Kind);
        Number(json, "xMm", feature.Center.X);
        Number(json, "yMm", feature.Center.Y);
        Number(json, "widthMm", feature.WidthMm);
        Number(json, "heightMm", feature.HeightMm);
        Optional(json, "rotationDeg", feature.RotationDeg == 0 ? null : feature.RotationDeg);
        Optional(json, "webMm", feature.WebMm);
        Optional(json, "powerPercent", feature.PowerPercent);
        Optional(json, "speedMmS", feature.SpeedMmS);
        if (!feature.Ends.IsEmpty)
        {
            json.WriteStartArray("ends");
            foreach (var end in feature.Ends)
            {
                json.WriteStartObject();
                Number(json, "xMm", end.Center.X);
                Number(json, "yMm", end.Center.Y);
                Number(json, "widthMm", end.WidthMm);
                Number(json, "heightMm", end.HeightMm);
                json.WriteEndObject();
            }

            json.WriteEndArray();
        }

        json.WriteEndObject();
    }

    private static void Optional(Utf8JsonWriter json, string name, double? value)
    {
        if (value is { } number)
        {
            Number(json, name, number);
        }
    }

    private static void Number(Utf8JsonWriter json, string name, double value)
    {
        Span<byte> text = stackalloc byte[32];
        json.WritePropertyName(name);
        json.WriteRawValue(text[..PlainText.Format(value, 6, text)], skipInputValidation: true);
    }
}
