using System.Collections.Immutable;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>Film between openings that is so thin that no cut should start beside it.</summary>
internal sealed class ThinWebs
{
    // A start is kept away from film that is less than twice as wide as what just survives, when marks on both of its sides are taken off.
    private const double ThinFactor = 2;

    private readonly ImmutableArray<Region> _shapes;
    private readonly int[] _starts;
    private readonly int[] _others;
    private readonly double _limit;
    private readonly double _half;
    private readonly Affine2 _toCut;

    private ThinWebs(ImmutableArray<Region> shapes, int[] starts, int[] others, JobSettings settings)
    {
        (_shapes, _starts, _others) = (shapes, starts, others);
        _limit = LimitMm(settings);
        _half = Math.Max(settings.KerfXMm, settings.KerfYMm) / 2;
        _toCut = SheetBuilder.CorrectionOf(settings).Inverse();
    }

    /// <summary>Film as wide as this, or wider, is not thin.</summary>
    public static double LimitMm(JobSettings settings) => (ThinFactor * settings.SmallestWebMm) + settings.StartMarkMm;

    /// <summary>The thin ones among the webs found; null when there is none.</summary>
    /// <param name="shapes">Openings as cut.</param>
    /// <param name="webs">Pairs of openings close to each other.</param>
    /// <param name="settings">What survives, kerf, and how the machine distorts.</param>
    public static ThinWebs? Of(ImmutableArray<Region> shapes, ImmutableArray<ClosePair> webs, JobSettings settings)
    {
        var limit = LimitMm(settings);
        var starts = new int[shapes.Length + 1];
        var count = 0;
        foreach (var web in webs)
        {
            if (web.WidthMm < limit)
            {
                starts[web.A]++;
                starts[web.B]++;
                count += 2;
            }
        }

        if (count == 0)
        {
            return null;
        }

        for (var i = 1; i < starts.Length; i++)
        {
            starts[i] += starts[i - 1];
        }

        // Filled from the back, so that each entry ends as the start of its opening's own.
        var others = new int[count];
        for (var k = webs.Length - 1; k >= 0; k--)
        {
            if (webs[k].WidthMm < limit)
            {
                others[--starts[webs[k].A]] = webs[k].B;
                others[--starts[webs[k].B]] = webs[k].A;
            }
        }

        return new ThinWebs(shapes, starts, others, settings);
    }

    /// <summary>Whether an opening has any.</summary>
    public bool Has(int opening) => opening >= 0 && _starts[opening] < _starts[opening + 1];

    /// <summary>0 where no thin film is near a place on the beam's path, 1 where none is left.</summary>
    public double Harm(int opening, Point2 drawn)
    {
        var p = _toCut.Apply(drawn);
        var nearest = _limit + _half;
        for (var i = _starts[opening]; i < _starts[opening + 1]; i++)
        {
            var shape = _shapes[_others[i]];
            var box = shape.Bounds;
            var (dx, dy) = (Math.Max(0, Math.Max(box.MinX - p.X, p.X - box.MaxX)), Math.Max(0, Math.Max(box.MinY - p.Y, p.Y - box.MaxY)));
            if ((dx * dx) + (dy * dy) < nearest * nearest)
            {
                nearest = shape.Contains(p) ? 0 : Math.Min(nearest, RegionDistance.ToBoundary(shape, p).DistanceMm);
            }
        }

        return Math.Clamp(1 - ((nearest - _half) / _limit), 0, 1);
    }
}
