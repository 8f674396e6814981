using System.Buffers;
using System.Globalization;
using System.Text;
using System.Text.Json;
using Stencilwright.Cutting.Coupons;

namespace Stencilwright.Output.Coupons;

/// <summary>Writes a calibration for programs and as a recipe.</summary>
public static class CalibrationFiles
{
    private static readonly JsonWriterOptions _options = new() { Indented = true, NewLine = "\n", IndentSize = 1, SkipValidation = true };

    /// <summary>What <c>calibrate --json</c> prints. What was not measured has no standard error: null.</summary>
    public static byte[] Json(Calibration calibration)
    {
        ArgumentNullException.ThrowIfNull(calibration);
        var buffer = new ArrayBufferWriter<byte>(4 * 1024);
        using var json = new Utf8JsonWriter(buffer, _options);
        json.WriteStartObject();
        foreach (var (name, estimate, decimals) in Values(calibration))
        {
            Number(json, name, estimate?.Value, decimals);
        }

        json.WriteStartObject("standardErrors");
        foreach (var (name, estimate, decimals) in Values(calibration))
        {
            Number(json, name, estimate?.StandardError, decimals);
        }

        json.WriteEndObject();
        json.WriteNumber("featuresUsed", calibration.FeaturesUsed);
        json.WriteStartArray("featuresRejected");
        foreach (var rejected in calibration.Rejected)
        {
            json.WriteStartObject();
            json.WriteString("id", rejected.Id);
            json.WriteString("why", rejected.Why);
            json.WriteEndObject();
        }

        json.WriteEndArray();
        Number(json, "residualRmsMm", calibration.ResidualRmsMm, 6);
        json.WriteEndObject();
        json.Flush();
        return [.. buffer.WrittenSpan, (byte)'\n'];
    }

    /// <summary>A settings file for <c>prepare --job</c> with what was measured, and nothing that was not.</summary>
    /// <param name="calibration">The calibration.</param>
    /// <param name="source">Where the readings came from, for a comment.</param>
    public static byte[] Recipe(Calibration calibration, string source)
    {
        ArgumentNullException.ThrowIfNull(calibration);
        ArgumentNullException.ThrowIfNull(source);
        var text = new StringBuilder();
        text.Append("# Recipe of a laser and a film, fitted from a cut coupon. Use it with\n")
            .Append("#   stencilwright prepare board.zip --out job --job recipe.toml\n")
            .Append("# alone or after a job file: of two values for one setting the later one wins.\n");
        Line(text, string.Create(CultureInfo.InvariantCulture,
            $"# {calibration.FeaturesUsed} features of {PlainText.Ascii(source)}; readings differ from the fit by {calibration.ResidualRmsMm:0.0000} mm root mean square."));
        text.Append('\n');
        Setting(text, "kerf_x_mm", "full width of the cut along x", calibration.KerfXMm, 4);
        Setting(text, "kerf_y_mm", "full width of the cut along y", calibration.KerfYMm, 4);
        Setting(text, "scale_x", "length as cut over length as drawn, along x", calibration.ScaleX, 6);
        Setting(text, "scale_y", "length as cut over length as drawn, along y", calibration.ScaleY, 6);
        Setting(text, "skew_mrad", "turn of the y axis, positive towards +x", calibration.SkewMrad, 3);
        if (calibration.NarrowestWebMm is { } web)
        {
            // Rounded up: a limit that is a hair too fine tears.
            Setting(text, "smallest_web_mm", "narrowest film between two openings that stood", web with { Value = Math.Ceiling(web.Value * 1000) / 1000 }, 3);
        }
        else
        {
            Line(text, "# smallest_web_mm was not measured.");
        }

        if (calibration.NarrowestOpeningMm is { } opening)
        {
            Line(text, string.Create(CultureInfo.InvariantCulture, $"# Narrowest opening that opened: {opening:0.000} mm as cut."));
        }

        return Encoding.UTF8.GetBytes(text.ToString());
    }

    private static (string Name, Estimate? Value, int Decimals)[] Values(Calibration c) =>
    [
        ("kerfXMm", c.KerfXMm, 6), ("kerfYMm", c.KerfYMm, 6), ("scaleX", c.ScaleX, 9), ("scaleY", c.ScaleY, 9),
        ("skewMrad", c.SkewMrad, 6), ("narrowestOpenWebMm", c.NarrowestWebMm, 6),
    ];

    private static void Setting(StringBuilder text, string name, string what, Estimate estimate, int decimals)
    {
        var value = estimate.Value.ToString("F" + decimals, CultureInfo.InvariantCulture);
        if (!estimate.IsMeasured)
        {
            Line(text, $"# {name} was not measured; the setting is left as it is.");
            return;
        }

        var format = "F" + (decimals + 1);
        Line(text, $"# {char.ToUpperInvariant(what[0])}{what[1..]}; standard error {estimate.StandardError!.Value.ToString(format, CultureInfo.InvariantCulture)}, "
            + $"95 % from {estimate.Low!.Value.ToString(format, CultureInfo.InvariantCulture)} to {estimate.High!.Value.ToString(format, CultureInfo.InvariantCulture)}.");
        Line(text, $"{name} = {value}");
    }

    private static void Line(StringBuilder text, string line) => text.Append(line).Append('\n');

    private static void Number(Utf8JsonWriter json, string name, double? value, int decimals)
    {
        json.WritePropertyName(name);
        if (value is { } number)
        {
            // Adding 0 turns -0 into 0.
            json.WriteRawValue((Math.Round(number, decimals) + 0.0).ToString("0.#########", CultureInfo.InvariantCulture), skipInputValidation: true);
        }
        else
        {
            json.WriteNullValue();
        }
    }
}
