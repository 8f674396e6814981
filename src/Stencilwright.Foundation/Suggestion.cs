namespace Stencilwright.Foundation;

/// <summary>Finds the known name that a mistyped one most likely meant.</summary>
public static class Suggestion
{
    /// <summary>The nearest candidate by edit distance, or null when none is near enough to help.</summary>
    /// <param name="typed">What was typed.</param>
    /// <param name="candidates">The right names; the first of equally near ones wins.</param>
    public static string? For(string typed, IEnumerable<string> candidates)
    {
        ArgumentNullException.ThrowIfNull(typed);
        ArgumentNullException.ThrowIfNull(candidates);
        string? best = null;
        var limit = Math.Max(2, typed.Length / 3);
        var bestDistance = limit + 1;
        foreach (var candidate in candidates)
        {
            var distance = Distance(typed, candidate);
            if (distance < bestDistance)
            {
                (best, bestDistance) = (candidate, distance);
            }
        }

        return best;
    }

    // Optimal string alignment: insert, delete, replace, swap neighbours. Three rows of the table are enough.
    private static int Distance(string a, string b)
    {
        var (before, above, row) = (new int[b.Length + 1], new int[b.Length + 1], new int[b.Length + 1]);
        for (var j = 0; j <= b.Length; j++)
        {
            above[j] = j;
        }

        for (var i = 1; i <= a.Length; i++)
        {
            row[0] = i;
            for (var j = 1; j <= b.Length; j++)
            {
                var same = char.ToUpperInvariant(a[i - 1]) == char.ToUpperInvariant(b[j - 1]);
                row[j] = Math.Min(Math.Min(above[j], row[j - 1]) + 1, above[j - 1] + (same ? 0 : 1));
                if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                {
                    row[j] = Math.Min(row[j], before[j - 2] + 1);
                }
            }

            (before, above, row) = (above, row, before);
        }

        return above[b.Length];
    }
}
