using System.Collections.Immutable;
using Stencilwright.Design;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting.Coupons;

/// <summary>Draws features and scores onto a coupon and keeps account of them.</summary>
internal sealed class CouponPen
{
    /// <summary>Height of the numbers beside features, millimetres.</summary>
    public const double LabelMm = 1.2;

    private readonly List<CouponFeature> _features = [];
    private readonly List<(Region Shape, CouponFeature Feature)> _cuts = [];
    private readonly ImmutableArray<ScoreMark>.Builder _marks = ImmutableArray.CreateBuilder<ScoreMark>();

    /// <summary>So far, in the order drawn.</summary>
    public IReadOnlyList<CouponFeature> Features => _features;

    /// <summary>A feature of one opening whose box is its measured size.</summary>
    public void Cut(CouponFeature feature, Contour shape)
    {
        _features.Add(feature);
        _cuts.Add((Region.Of(shape), feature));
    }

    /// <summary>A feature of two openings at its ends.</summary>
    public void CutEnds(CouponFeature feature, bool round)
    {
        _features.Add(feature);
        foreach (var end in feature.Ends)
        {
            var (w, h) = (end.WidthMm / 2, end.HeightMm / 2);
            var shape = round
                ? Contour.Circle(end.Center, w)
                : Contour.Rectangle(new(end.Center.X - w, end.Center.Y - h, end.Center.X + w, end.Center.Y + h));
            _cuts.Add((Region.Of(shape), feature));
        }
    }

    /// <summary>Words whose first letter's foot is at a point; turned by 90° they read upwards.</summary>
    public void Write(string text, Point2 at, double heightMm, bool upwards = false)
    {
        var map = Affine2.Translation(at.X, at.Y) * Affine2.RotationDegrees(upwards ? 90 : 0);
        _marks.Add(new ScoreMark("label", text, [.. StrokeFont.Strokes(text, heightMm).Select(s => Moved(s, map))]));
    }

    /// <summary>Words centred on a point of their base line.</summary>
    public void WriteCentred(string text, Point2 at, double heightMm = LabelMm) =>
        Write(text, new(at.X - (StrokeFont.WidthMm(text, heightMm) / 2), at.Y), heightMm);

    /// <summary>A scored line through points.</summary>
    public void Score(params ReadOnlySpan<Point2> points)
    {
        var vertices = new PathVertex[points.Length];
        for (var i = 0; i < points.Length; i++)
        {
            vertices[i] = new(points[i].X, points[i].Y);
        }

        _marks.Add(new ScoreMark("guide", "", [new OpenPath(vertices)]));
    }

    /// <summary>The paths as drawn: whatever the settings say of kerf, scale and skew, a coupon shows the bare machine.</summary>
    public SheetPlan Plan(JobSettings settings, BlankSize blank, CancellationToken cancellation)
    {
        var builder = new SheetBuilder(settings with
        {
            KerfXMm = JobSettings.Default.KerfXMm,
            KerfYMm = JobSettings.Default.KerfYMm,
            ScaleX = 1,
            ScaleY = 1,
            SkewMrad = 0,
        });
        builder.AddMarks(_marks.ToImmutable());
        foreach (var (shape, feature) in _cuts)
        {
            builder.AddIsland(shape, CutKind.Opening, feature.Id, powerPercent: feature.PowerPercent, speedMmS: feature.SpeedMmS);
        }

        return builder.Build(
            "coupon", blank, new CutRecipe(settings.FilmThicknessMm, settings.FilmPowerPercent, settings.FilmSpeedMmS, settings.FilmPasses), [], OrderSteps, null, cancellation);
    }

    // Steps of the search for a short way, per path: as many as a normal job takes.
    private const long OrderSteps = 200;

    private static OpenPath Moved(OpenPath path, Affine2 map)
    {
        var vertices = new PathVertex[path.Vertices.Length];
        for (var i = 0; i < vertices.Length; i++)
        {
            var p = map.Apply(path.Vertices[i].Point);
            vertices[i] = new(p.X, p.Y, path.Vertices[i].Bulge);
        }

        return new OpenPath(vertices);
    }
}
