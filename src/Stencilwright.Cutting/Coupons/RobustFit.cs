namespace Stencilwright.Cutting.Coupons;

/// <summary>Finds rows that do not belong, and fits the others.</summary>
/// <remarks>
/// A search over the lines through every two rows, first for the least median of squares, which gives the spread, then for the
/// least sum of Tukey's bounded loss, which alone weighs the few long rulers against the many small features; then
/// reweighted least squares from there. Rows beyond 3.5 spreads are left out and the rest is fitted by plain least squares,
/// so that the errors given are those of the textbook. Sources: P. J. Rousseeuw and A. M. Leroy, Robust Regression and
/// Outlier Detection (1987), section 5.1 for the spread; J. W. Tukey's biweight with 4.685 (both from memory).
/// </remarks>
internal static class RobustFit
{
    // Readings finer than a micrometre are nobody's: nothing is set aside for less than 3.5 of this.
    private const double LeastSpreadMm = 0.001;
    private const double Tukey = 4.685;
    private const double ToSigma = 1.4826;

    // Share of the normal distribution within 3.5 standard deviations; for few rows Student's value takes the place of 3.5.
    private const double Within35 = 0.999534742;
    // Pairs tried times rows: a coupon has a few thousand pairs, and a table that means harm must not take minutes.
    private const long MostWork = 4_000_000;
    private const int MostRounds = 30;

    /// <summary>Which rows to keep; null when the rows do not tell the unknowns apart.</summary>
    /// <param name="rows">The equations.</param>
    /// <param name="given">p, when it is not to be found.</param>
    public static bool[]? Keep(ReadOnlySpan<TwoTermRow> rows, double? given = null)
    {
        var weights = new double[rows.Length];
        Array.Fill(weights, 1);
        if (TwoTermFit.Solve(rows, weights, given) is not { } all)
        {
            return null;
        }

        var keep = new bool[rows.Length];
        Array.Fill(keep, true);
        if (all.Degrees < 3)
        {
            // Too few to say which of them is wrong.
            return keep;
        }

        var candidates = Candidates(rows, given);
        candidates.Add((all.P, all.Q));
        var spread = Math.Max(SpreadOf(rows, candidates, rows.Length - all.Degrees), LeastSpreadMm);
        var best = BestOf(rows, candidates, spread);
        for (var round = 0; round < MostRounds; round++)
        {
            for (var i = 0; i < rows.Length; i++)
            {
                var u = best.Residual(rows[i]) / (Tukey * spread);
                weights[i] = Math.Abs(u) < 1 ? (1 - (u * u)) * (1 - (u * u)) : 0;
            }

            if (TwoTermFit.Solve(rows, weights, given) is not { } next)
            {
                break;
            }

            var moved = Math.Abs(next.P - best.P) + Math.Abs(next.Q - best.Q);
            best = next;
            if (moved < 1e-12)
            {
                break;
            }
        }

        for (var i = 0; i < rows.Length; i++)
        {
            keep[i] = Math.Abs(best.Residual(rows[i])) <= 3.5 * spread;
        }

        Settle(rows, keep, given);
        return keep;
    }

    // Once with the spread of the rows kept, which is truer than the first one: lets back in what was left out too hastily.
    private static void Settle(ReadOnlySpan<TwoTermRow> rows, bool[] keep, double? given)
    {
        var weights = new double[rows.Length];
        for (var round = 0; round < 3; round++)
        {
            for (var i = 0; i < rows.Length; i++)
            {
                weights[i] = keep[i] ? 1 : 0;
            }

            if (TwoTermFit.Solve(rows, weights, given) is not { Degrees: > 0 } fit)
            {
                return;
            }

            var limit = StudentT.Quantile(Within35, fit.Degrees) * Math.Max(fit.Sigma, LeastSpreadMm);
            var changed = false;
            for (var i = 0; i < rows.Length; i++)
            {
                var share = Math.Min(fit.Leverage(rows[i]), 1);
                var room = Math.Sqrt(keep[i] ? Math.Max(1 - share, 1e-9) : 1 + share);
                var stays = Math.Abs(fit.Residual(rows[i])) <= limit * room;
                changed |= stays != keep[i];
                keep[i] = stays;
            }

            if (!changed)
            {
                return;
            }
        }
    }

    private static List<(double P, double Q)> Candidates(ReadOnlySpan<TwoTermRow> rows, double? given)
    {
        var found = new List<(double, double)>();
        if (given is { } p)
        {
            foreach (var row in rows)
            {
                found.Add((p, (row.Y - (p * row.A)) / row.B));
            }

            return found;
        }

        var pairs = (long)rows.Length * (rows.Length - 1) / 2;
        var (stride, number) = ((pairs * rows.Length / MostWork) + 1, 0L);
        for (var i = 0; i < rows.Length; i++)
        {
            for (var j = i + 1; j < rows.Length; j++)
            {
                var d = (rows[i].A * rows[j].B) - (rows[j].A * rows[i].B);
                if (number++ % stride == 0 && Math.Abs(d) > 1e-9)
                {
                    found.Add((
                        ((rows[i].Y * rows[j].B) - (rows[j].Y * rows[i].B)) / d,
                        ((rows[i].A * rows[j].Y) - (rows[j].A * rows[i].Y)) / d));
                }
            }
        }

        return found;
    }

    private static double SpreadOf(ReadOnlySpan<TwoTermRow> rows, List<(double P, double Q)> candidates, int unknowns)
    {
        var least = double.PositiveInfinity;
        var sizes = new double[rows.Length];
        foreach (var (p, q) in candidates)
        {
            var smaller = 0;
            for (var i = 0; i < rows.Length; i++)
            {
                sizes[i] = Math.Abs(rows[i].Y - (p * rows[i].A) - (q * rows[i].B));
                smaller += sizes[i] < least ? 1 : 0;
            }

            if (smaller <= rows.Length / 2)
            {
                // Its median cannot be less than the least so far: no need to sort.
                continue;
            }

            Array.Sort(sizes);
            least = Math.Min(least, sizes[rows.Length / 2]);
        }

        return ToSigma * (1 + (5.0 / (rows.Length - unknowns))) * least;
    }

    private static TwoTermFit BestOf(ReadOnlySpan<TwoTermRow> rows, List<(double P, double Q)> candidates, double spread)
    {
        var (best, least) = (candidates[0], double.PositiveInfinity);
        foreach (var (p, q) in candidates)
        {
            var loss = 0.0;
            foreach (var row in rows)
            {
                var u = (row.Y - (p * row.A) - (q * row.B)) / (Tukey * spread);
                var v = 1 - (u * u);
                loss += Math.Abs(u) < 1 ? 1 - (v * v * v) : 1;
            }

            if (loss < least)
            {
                (best, least) = ((p, q), loss);
            }
        }

        return new TwoTermFit(best.P, best.Q, 0, 0, 0, 0, 0);
    }
}
