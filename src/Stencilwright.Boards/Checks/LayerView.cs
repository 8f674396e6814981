using System.Collections.Immutable;
using Stencilwright.Artwork;
using Stencilwright.Geometry;

namespace Stencilwright.Boards.Checks;

/// <summary>The feature of another layer that lies most nearly concentric under an opening.</summary>
/// <param name="Feature">Its index; -1 when none of about the opening's size touches it.</param>
/// <param name="OffsetMm">Distance of the two boxes' middles.</param>
/// <param name="IsSameSize">True when both boxes are equal but for rounding.</param>
internal readonly record struct FeatureMatch(int Feature, double OffsetMm, bool IsSameSize)
{
    public static FeatureMatch None { get; } = new(-1, double.PositiveInfinity, false);

    /// <summary>True when the opening was evidently made for this feature.</summary>
    public bool IsConcentric => OffsetMm <= LayerFeatures.SameCentreMm;
}

/// <summary>Pads of a layer: the boxes of what was flashed or filled, or of the image's islands where they are known.</summary>
internal static class LayerFeatures
{
    /// <summary>Middles that lie nearer than this are one: coarse files step by 10 to 25 µm.</summary>
    public const double SameCentreMm = 0.03;

    // Half a step of a metric file with two decimals.
    private const double SameSizeMm = 0.005;

    // Of sides of feature and opening, either way, for one to be made for the other.
    private const double MostRatio = 2.5;

    /// <summary>The features' boxes.</summary>
    /// <param name="layer">The layer.</param>
    /// <param name="isInverted">True when the layer is dark where it has no features.</param>
    public static Bounds2[] Of(PaintedLayer layer, bool isInverted)
    {
        if (!layer.Islands.IsDefault)
        {
            var boxes = new List<Bounds2>();
            foreach (var island in layer.Islands)
            {
                foreach (var contour in island.Shape.Contours)
                {
                    if (contour.SignedAreaMm2 > 0 != isInverted)
                    {
                        boxes.Add(contour.Bounds);
                    }
                }
            }

            return [.. boxes];
        }

        return Painted(layer, isInverted);
    }

    /// <summary>Boxes of what was flashed or filled.</summary>
    public static Bounds2[] Painted(PaintedLayer layer, bool isInverted)
    {
        var boxes = new List<Bounds2>();
        for (var i = 0; i < layer.Objects.Length; i++)
        {
            var painted = layer.Objects[i];
            if (painted.Kind != PaintKind.Stroke && painted.IsDark != isInverted && !layer.Boxes[i].IsEmpty)
            {
                boxes.Add(layer.Boxes[i]);
            }
        }

        return [.. boxes];
    }

    /// <summary>For each opening its feature.</summary>
    public static FeatureMatch[] Match(ReadOnlySpan<Bounds2> openings, ReadOnlySpan<Bounds2> features)
    {
        var join = BoxJoin.Of(openings, features);
        var matches = new FeatureMatch[openings.Length];
        for (var i = 0; i < matches.Length; i++)
        {
            matches[i] = FeatureMatch.None;
            foreach (var index in join[i])
            {
                if (IsAlike(openings[i], features[index])
                    && Point2.Distance(openings[i].Center, features[index].Center) is var offset && offset < matches[i].OffsetMm)
                {
                    matches[i] = new FeatureMatch(index, offset, IsEqual(openings[i], features[index]));
                }
            }
        }

        return matches;
    }

    /// <summary>True when both have about the same size, turned by a quarter or not.</summary>
    public static bool IsAlike(Bounds2 a, Bounds2 b)
    {
        var (long1, short1) = (Math.Max(a.Width, a.Height), Math.Min(a.Width, a.Height));
        var (long2, short2) = (Math.Max(b.Width, b.Height), Math.Min(b.Width, b.Height));
        return long1 <= long2 * MostRatio && long2 <= long1 * MostRatio && short1 <= short2 * MostRatio && short2 <= short1 * MostRatio;
    }

    private static bool IsEqual(Bounds2 a, Bounds2 b) =>
        Math.Abs(a.MinX - b.MinX) <= SameSizeMm && Math.Abs(a.MaxX - b.MaxX) <= SameSizeMm
        && Math.Abs(a.MinY - b.MinY) <= SameSizeMm && Math.Abs(a.MaxY - b.MaxY) <= SameSizeMm;
}

/// <summary>Another layer as seen from a side's openings.</summary>
internal sealed class LayerView
{
    private readonly SideView _side;
    private BoxJoin? _touching;
    private FeatureMatch[]? _matches;
    private Bounds2[]? _features;

    public LayerView(SideView side, PaintedLayer layer, bool isInverted)
    {
        _side = side;
        Layer = layer;
        IsInverted = isInverted;
    }

    public PaintedLayer Layer { get; }

    public bool IsInverted { get; }

    public Bounds2[] Features => _features ??= LayerFeatures.Of(Layer, IsInverted);

    public FeatureMatch[] Matches => _matches ??= LayerFeatures.Match(_side.Boxes, Features);

    /// <summary>Share of the openings that lie concentric over a feature of about their size; 0 when there is no opening.</summary>
    public double ConcentricShare
    {
        get
        {
            var count = 0;
            foreach (var match in Matches)
            {
                count += match.IsConcentric ? 1 : 0;
            }

            return Matches.Length == 0 ? 0 : (double)count / Matches.Length;
        }
    }

    private BoxJoin Touching => _touching ??= BoxJoin.Of(_side.Boxes, Layer.Boxes);

    /// <summary>Area of an opening that lies beside the layer's features, square millimetres.</summary>
    public double BesideMm2(int opening)
    {
        var bare = CoverMeter.UncoveredMm2(Layer, Touching[opening], _side.Openings[opening].Shape);
        return IsInverted ? Math.Max(0, _side.AreasMm2[opening] - bare) : bare;
    }
}

/// <summary>A side's openings with what the checks ask of them again and again.</summary>
internal sealed class SideView
{
    public SideView(PasteLayer paste, PaintedLayer? artwork = null)
    {
        Paste = paste;
        Boxes = new Bounds2[paste.Openings.Length];
        AreasMm2 = new double[paste.Openings.Length];
        for (var i = 0; i < Boxes.Length; i++)
        {
            Boxes[i] = paste.Openings[i].Shape.Bounds;
            AreasMm2[i] = paste.Openings[i].Shape.AreaMm2;
        }

        PossibleBoxes = Possible(artwork);
    }

    public PasteLayer Paste { get; }

    public ImmutableArray<PasteOpening> Openings => Paste.Openings;

    public Bounds2[] Boxes { get; }

    public double[] AreasMm2 { get; }

    /// <summary>Boxes of what may be openings: everything flashed or filled, when most of the layer was set aside as lying off the board.</summary>
    /// <remarks>A paste layer that lies wrong lies beside the board. What is drawn with a pen there is a page's frame.</remarks>
    public Bounds2[] PossibleBoxes { get; }

    private Bounds2[] Possible(PaintedLayer? artwork)
    {
        var outside = 0;
        foreach (var part in Paste.SetAside)
        {
            outside += part.Reason == SetAsideReason.OutsideOutline ? 1 : 0;
        }

        return artwork is null || outside <= Boxes.Length ? Boxes : LayerFeatures.Painted(artwork, false);
    }
}
