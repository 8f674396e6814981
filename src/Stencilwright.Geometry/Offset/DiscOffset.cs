using System.Collections.Immutable;
using System.Runtime.InteropServices;

namespace Stencilwright.Geometry;

/// <summary>Offsets by a disc: the quick ways where they are exact, raw curves and their winding numbers elsewhere.</summary>
internal static class DiscOffset
{
    /// <summary>Erosion by a disc.</summary>
    public static Region Inset(Region region, double inMm, JoinStyle join, double mitreLimit)
    {
        var contours = region.Contours;
        if (contours.Length == 1)
        {
            var v = ContourCleaner.Clean(contours[0].Vertices);
            if (v.IsEmpty)
            {
                return Region.Empty;
            }

            switch (ConvexInset.Try(v, inMm, out var inner))
            {
                case ConvexInset.Outcome.Done:
                    return new Region(ImmutableCollectionsMarshal.AsImmutableArray([inner!]));
                case ConvexInset.Outcome.Nothing:
                    return Region.Empty;
            }
        }
        else if (InsetApart(contours, inMm) is { } apart)
        {
            return apart;
        }

        return General(contours, -inMm, join, mitreLimit);
    }

    /// <summary>Dilation by a disc.</summary>
    public static Region Outset(Region region, double outMm, JoinStyle join, double mitreLimit)
    {
        var contours = region.Contours;
        if (contours.Length == 1)
        {
            var v = ContourCleaner.Clean(contours[0].Vertices);
            if (v.IsEmpty)
            {
                return Region.Empty;
            }

            var builder = new RawOffset(outMm, join, mitreLimit);
            if (ConvexOutset.IsConvex(v, ConvexInset.ReflexNoiseRad) && builder.Build(v) is { } curve)
            {
                return builder.HasSpokes ? Resolve([curve]) : Region.Of(curve);
            }
        }

        return General(contours, outMm, join, mitreLimit);
    }

    // Islands of a valid region do not overlap, so when none has a hole each is inset by itself.
    private static Region? InsetApart(ImmutableArray<Contour> contours, double inMm)
    {
        var inner = ImmutableArray.CreateBuilder<Contour>(contours.Length);
        foreach (var contour in contours)
        {
            var v = ContourCleaner.Clean(contour.Vertices);
            if (v.IsEmpty)
            {
                continue;
            }

            switch (ConvexInset.Try(v, inMm, out var result))
            {
                case ConvexInset.Outcome.NotHere:
                    return null;
                case ConvexInset.Outcome.Done:
                    inner.Add(result!);
                    break;
            }
        }

        return inner.Count == 0 ? Region.Empty : new Region(inner.ToImmutable());
    }

    private static Region General(ImmutableArray<Contour> contours, double rightMm, JoinStyle join, double mitreLimit)
    {
        var raw = new List<Contour>(contours.Length);
        var builder = new RawOffset(rightMm, join, mitreLimit);
        foreach (var contour in contours)
        {
            var v = ContourCleaner.Clean(contour.Vertices);
            if (!v.IsEmpty && builder.Build(v) is { } curve)
            {
                raw.Add(curve);
            }
        }

        return Resolve(raw);
    }

    /// <summary>The region where the winding number of raw curves is positive.</summary>
    public static Region Resolve(List<Contour> raw)
    {
        if (raw.Count == 0)
        {
            return Region.Empty;
        }

        return raw.Count == 1 && SimpleCurve.IsCertain(raw[0])
            ? raw[0].SignedAreaMm2 > 0 ? Region.Of(raw[0]) : Region.Empty
            : RegionBoolean.Resolve(CollectionsMarshal.AsSpan(raw), FillRule.Positive);
    }
}
