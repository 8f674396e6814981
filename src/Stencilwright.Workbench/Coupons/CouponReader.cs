using System.Collections.Immutable;
using System.Text.Json;
using Stencilwright.Cutting.Coupons;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Workbench.Coupons;

/// <summary>The features of a coupon file.</summary>
/// <param name="Features">In the file's order.</param>
public sealed record CouponFeatures(ImmutableArray<CouponFeature> Features);

/// <summary>Reads <c>coupon.json</c>.</summary>
public static class CouponReader
{
    private const int MostFeatures = 10_000;

    /// <summary>Reads the features; keys that are not known are passed over.</summary>
    /// <returns>The features, or diagnostics PKG101 and PKG102 with the place.</returns>
    public static Outcome<CouponFeatures> Read(SourceText file)
    {
        ArgumentNullException.ThrowIfNull(file);
        var bytes = file.Bytes;
        if (bytes.Span.StartsWith((ReadOnlySpan<byte>)[0xEF, 0xBB, 0xBF]))
        {
            bytes = bytes[3..];
        }

        try
        {
            using var document = JsonDocument.Parse(bytes, new JsonDocumentOptions { MaxDepth = 32 });
            return Features(document.RootElement, file.Name);
        }
        catch (JsonException failure)
        {
            var place = new SourcePlace(file.Name, (int)(failure.LineNumber ?? 0) + 1, (int)(failure.BytePositionInLine ?? 0) + 1);
            return Refuse(new Diagnostic("PKG101", Severity.Error, "this is not valid JSON from here on; make the coupon again with `stencilwright coupon`.", place));
        }
    }

    private static Outcome<CouponFeatures> Features(JsonElement root, string name)
    {
        if (root.ValueKind != JsonValueKind.Object || !root.TryGetProperty("features", out var list) || list.ValueKind != JsonValueKind.Array)
        {
            return Refuse(Wrong(name, "it has no list of features"));
        }

        if (root.TryGetProperty("formatVersion", out var version) && !(version.ValueKind == JsonValueKind.Number && version.TryGetInt32(out var number) && number == 1))
        {
            return Refuse(Wrong(name, "its formatVersion is not 1"));
        }

        if (list.GetArrayLength() > MostFeatures)
        {
            return Refuse(Wrong(name, "it has more than 10000 features"));
        }

        var features = ImmutableArray.CreateBuilder<CouponFeature>();
        var seen = new HashSet<string>(StringComparer.OrdinalIgnoreCase);
        foreach (var item in list.EnumerateArray())
        {
            if (Feature(item) is not { } feature)
            {
                return Refuse(Wrong(name, $"feature {features.Count + 1} lacks an id, a kind, or a widthMm and heightMm that are at least 0"));
            }

            if (!seen.Add(feature.Id))
            {
                return Refuse(Wrong(name, $"two features are called {feature.Id}"));
            }

            features.Add(feature);
        }

        return new Outcome<CouponFeatures>(new CouponFeatures(features.ToImmutable()), []);
    }

    private static CouponFeature? Feature(JsonElement item)
    {
        if (item.ValueKind != JsonValueKind.Object
            || Text(item, "id") is not { Length: > 0 } id
            || Text(item, "kind") is not { } kind
            || Number(item, "widthMm") is not { } width || width < 0
            || Number(item, "heightMm") is not { } height || height < 0)
        {
            return null;
        }

        return new CouponFeature
        {
            Id = id,
            Kind = kind,
            Center = new Point2(Number(item, "xMm") ?? 0, Number(item, "yMm") ?? 0),
            WidthMm = width,
            HeightMm = height,
            RotationDeg = Number(item, "rotationDeg") ?? 0,
            WebMm = Number(item, "webMm"),
            PowerPercent = Number(item, "powerPercent"),
            SpeedMmS = Number(item, "speedMmS"),
        };
    }

    private static string? Text(JsonElement item, string name) =>
        item.TryGetProperty(name, out var value) && value.ValueKind == JsonValueKind.String ? value.GetString() : null;

    // Sizes beyond any sheet would only break the arithmetic that follows.
    private static double? Number(JsonElement item, string name) =>
        item.TryGetProperty(name, out var value) && value.ValueKind == JsonValueKind.Number && value.TryGetDouble(out var number) && Math.Abs(number) < 1e4 ? number : null;

    private static Diagnostic Wrong(string name, string what) => new(
        "PKG102", Severity.Error, $"this is no coupon that can be read: {what}; make it again with `stencilwright coupon`.", SourcePlace.Whole(name));

    private static Outcome<CouponFeatures> Refuse(Diagnostic diagnostic) => new(null, [diagnostic]);
}
