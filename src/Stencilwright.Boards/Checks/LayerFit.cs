using System.Globalization;
using Stencilwright.Geometry;

namespace Stencilwright.Boards.Checks;

/// <summary>How one layer must be moved to lie on another.</summary>
/// <param name="Turn">Mirror, turn and scale about the origin.</param>
/// <param name="Words">The turn in words; empty when there is none.</param>
/// <param name="Shift">The move after it.</param>
/// <param name="Share">Share of the first layer's features that then lie concentric on one of the second's.</param>
internal sealed record LayerFit(Affine2 Turn, string Words, Vector2 Shift, double Share)
{
    /// <summary>In words, with figures: "mirrored left to right and moved by 1.2 mm in x and 0 mm in y".</summary>
    public string Describe()
    {
        var move = string.Create(CultureInfo.InvariantCulture, $"moved by {Tidy(Shift.X):0.###} mm in x and {Tidy(Shift.Y):0.###} mm in y");
        return Words.Length == 0 ? move : Shift.Length < LayerFitSearch.LeastShiftMm ? Words : $"{Words} and then {move}";
    }

    // No minus zero.
    private static double Tidy(double value) => Math.Round(value, 3) + 0.0;
}

/// <summary>Finds the mirror, quarter turn, scale and move by which most features of one layer fall on those of another.</summary>
/// <remarks>
/// For each of a few turns, pairs of features of similar size vote for the move between them in cells of a fifth of a
/// millimetre; features whose size is rare vote first, as they have the fewest partners. The cells with most votes are
/// tried on all features. Chance agreement needs no model: what is asked for is that four in five features fit to
/// 0.03 mm, and that far fewer do so as the layers are.
/// </remarks>
internal static class LayerFitSearch
{
    /// <summary>Layers that lie nearer than this are taken to agree: it is beyond rounding and below what spoils a print.</summary>
    public const double LeastShiftMm = 0.05;

    /// <summary>Fewer features than this say nothing: two resistors fit on any two others.</summary>
    public const int FewestFeatures = 6;

    private const double CellMm = 0.2;
    private const int MostVotes = 30_000;

    // Four fifths of the voters agree on a true move, and at worst a cell's edges spread them over four cells.
    private const double LeastPeak = 0.2;
    private const int MostVoters = 200;
    private const int MostTried = 400;

    private static readonly (Affine2 Turn, double Scale, string Words)[] _turns =
    [
        (Affine2.Identity, 1, ""),
        (Affine2.Scale(-1, 1), 1, "mirrored left to right"),
        (Affine2.Scale(1, -1), 1, "mirrored top to bottom"),
        (Affine2.RotationDegrees(180), 1, "turned by 180°"),
        (Affine2.RotationDegrees(90), 1, "turned by 90° counter-clockwise"),
        (Affine2.RotationDegrees(-90), 1, "turned by 90° clockwise"),
        (new Affine2(0, 1, 0, 1, 0, 0), 1, "mirrored about the diagonal that rises to the right"),
        (new Affine2(0, -1, 0, -1, 0, 0), 1, "mirrored about the diagonal that falls to the right"),
        (Affine2.Scale(25.4, 25.4), 25.4, "enlarged 25.4 times (inches taken for millimetres)"),
        (Affine2.Scale(1 / 25.4, 1 / 25.4), 1 / 25.4, "reduced 25.4 times (millimetres taken for inches)"),
        (Affine2.Scale(10, 10), 10, "enlarged 10 times (one digit misplaced)"),
        (Affine2.Scale(0.1, 0.1), 0.1, "reduced 10 times (one digit misplaced)"),
        (Affine2.Scale(100, 100), 100, "enlarged 100 times (two digits misplaced)"),
        (Affine2.Scale(0.01, 0.01), 0.01, "reduced 100 times (two digits misplaced)"),
    ];

    /// <summary>The best fit, or null when there are too few features to tell.</summary>
    /// <param name="from">Boxes of the features that may lie wrong.</param>
    /// <param name="to">Boxes of the features that they belong on.</param>
    /// <param name="sizesKnown">False when scaling leaves sizes as they are, as with drill data: there sizes stand apart from coordinates.</param>
    public static LayerFit? Best(Bounds2[] from, Bounds2[] to, bool sizesKnown)
    {
        if (from.Length < FewestFeatures || to.Length < FewestFeatures)
        {
            return null;
        }

        var target = new Targets(to);
        var tried = Every(from, MostTried);
        LayerFit? best = null;
        foreach (var (turn, scale, words) in _turns)
        {
            var size = sizesKnown ? scale : 1;
            foreach (var shift in Candidates(from, target, turn, size))
            {
                var fit = Refine(tried, target, turn, size, shift, words);
                if (best is null || fit.Share > best.Share + 0.02)
                {
                    best = fit;
                }
            }

            if (best?.Share > 0.97)
            {
                break;
            }
        }

        return best;
    }

    private static Bounds2[] Every(Bounds2[] boxes, int most)
    {
        var step = (boxes.Length + most - 1) / most;
        return step <= 1 ? boxes : [.. boxes.Where((_, i) => i % step == 0)];
    }

    private static List<Vector2> Candidates(Bounds2[] from, Targets target, Affine2 turn, double size)
    {
        var voters = new List<(int Partners, int Index)>();
        var sample = Every(from, MostVoters);
        for (var i = 0; i < sample.Length; i++)
        {
            var (first, last) = target.OfSize(sample[i], size);
            if (last > first)
            {
                voters.Add((last - first, i));
            }
        }

        voters.Sort();
        var votes = new Dictionary<(int X, int Y), int>();
        var (cast, voting) = (0, 0);
        foreach (var (partners, index) in voters)
        {
            if (cast > 0 && cast + partners > MostVotes)
            {
                break;
            }

            cast += partners;
            voting++;
            var at = turn.Apply(sample[index].Center);
            var (first, last) = target.OfSize(sample[index], size);
            for (var k = first; k < last; k++)
            {
                var move = target.BySize[k].Center - at;
                var key = ((int)Math.Floor(move.X / CellMm), (int)Math.Floor(move.Y / CellMm));
                votes[key] = votes.GetValueOrDefault(key) + 1;
            }
        }

        return Peaks(votes, LeastPeak * voting);
    }

    // A true move may lie on a cell's edge: the votes of two by two cells are taken together.
    private static List<Vector2> Peaks(Dictionary<(int X, int Y), int> votes, double least)
    {
        var best = new List<(int Votes, int X, int Y)>();
        foreach (var ((x, y), count) in votes)
        {
            if (count < least)
            {
                continue;
            }

            for (var corner = 0; corner < 4; corner++)
            {
                var (cx, cy) = (x - (corner & 1), y - (corner >> 1));
                var sum = votes.GetValueOrDefault((cx, cy)) + votes.GetValueOrDefault((cx + 1, cy))
                    + votes.GetValueOrDefault((cx, cy + 1)) + votes.GetValueOrDefault((cx + 1, cy + 1));
                if (!best.Contains((sum, cx, cy)))
                {
                    best.Add((sum, cx, cy));
                }
            }

            // Highest first; equal ones by place, so that the order of the table does not matter.
            best.Sort(static (a, b) => a.Votes != b.Votes ? b.Votes.CompareTo(a.Votes) : a.X != b.X ? a.X.CompareTo(b.X) : a.Y.CompareTo(b.Y));
            if (best.Count > 3)
            {
                best.RemoveRange(3, best.Count - 3);
            }
        }

        return best.ConvertAll(b => new Vector2((b.X + 1) * CellMm, (b.Y + 1) * CellMm));
    }

    private static LayerFit Refine(Bounds2[] tried, Targets target, Affine2 turn, double size, Vector2 shift, string words)
    {
        var (xs, ys) = (new List<double>(), new List<double>());
        foreach (var box in tried)
        {
            var at = turn.Apply(box.Center) + shift;
            if (target.Nearest(box, at, size, 1.5 * CellMm) is >= 0 and var near)
            {
                xs.Add(target.CenterOf(near).X - at.X);
                ys.Add(target.CenterOf(near).Y - at.Y);
            }
        }

        if (xs.Count == 0)
        {
            return new LayerFit(turn, words, shift, 0);
        }

        xs.Sort();
        ys.Sort();
        shift += new Vector2(xs[xs.Count / 2], ys[ys.Count / 2]);
        // A layer shrunk to a spot would fit on any one pad: each pad counts once.
        var taken = new HashSet<int>();
        foreach (var box in tried)
        {
            var near = target.Nearest(box, turn.Apply(box.Center) + shift, size, LayerFeatures.SameCentreMm);
            _ = near >= 0 && taken.Add(near);
        }

        return new LayerFit(turn, words, shift, (double)taken.Count / tried.Length);
    }

    /// <summary>The features to fall on, found by size and by place.</summary>
    private sealed class Targets
    {
        // Narrower than what may belong together, so that fewer pairs vote.
        private const double VoteRatio = 1.7;

        private readonly double[] _sizes;
        private readonly double[] _xs;
        private readonly Bounds2[] _byX;

        public Targets(Bounds2[] boxes)
        {
            BySize = [.. boxes];
            _sizes = Array.ConvertAll(BySize, LongSide);
            Array.Sort(_sizes, BySize);
            _byX = [.. boxes];
            _xs = Array.ConvertAll(_byX, b => b.Center.X);
            Array.Sort(_xs, _byX);
        }

        public Bounds2[] BySize { get; }

        public (int First, int Last) OfSize(Bounds2 box, double scale)
        {
            var side = LongSide(box) * scale;
            return (FirstAtLeast(_sizes, side / VoteRatio), FirstAtLeast(_sizes, side * VoteRatio));
        }

        public Point2 CenterOf(int index) => _byX[index].Center;

        /// <summary>The nearest feature of about the box's size, when it lies within a distance; -1 otherwise.</summary>
        public int Nearest(Bounds2 box, Point2 at, double scale, double withinMm)
        {
            var scaled = new Bounds2(0, 0, box.Width * scale, box.Height * scale);
            var (best, bestMm) = (-1, withinMm);
            for (var i = FirstAtLeast(_xs, at.X - withinMm); i < _xs.Length && _xs[i] <= at.X + withinMm; i++)
            {
                if (Point2.Distance(_byX[i].Center, at) is var distance && distance <= bestMm && LayerFeatures.IsAlike(scaled, _byX[i]))
                {
                    (best, bestMm) = (i, distance);
                }
            }

            return best;
        }

        private static double LongSide(Bounds2 box) => Math.Max(box.Width, box.Height);

        private static int FirstAtLeast(double[] sorted, double value)
        {
            var (low, high) = (0, sorted.Length);
            while (low < high)
            {
                var middle = (low + high) / 2;
                if (sorted[middle] < value)
                {
                    low = middle + 1;
                }
                else
                {
                    high = middle;
                }
            }

            return low;
        }
    }
}
