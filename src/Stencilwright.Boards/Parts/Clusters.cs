namespace Stencilwright.Boards.Parts;

/// <summary>Sorts things into groups of nearly equal values.</summary>
internal static class Clusters
{
    /// <summary>
    /// Labels each value so that neighbours in order closer than a gap share one, as long as the whole group is no wider
    /// than a span: the second bound keeps a chain of slowly growing values from becoming one group.
    /// </summary>
    /// <param name="values">The values.</param>
    /// <param name="gap">Nearer neighbours may share a group.</param>
    /// <param name="span">Widest group.</param>
    /// <param name="period">When positive, values are taken modulo this and the last group may join the first.</param>
    public static int[] Label(double[] values, double gap, double span, double period = 0)
    {
        var order = new int[values.Length];
        var keys = new double[values.Length];
        for (var i = 0; i < order.Length; i++)
        {
            order[i] = i;
            keys[i] = period > 0 ? values[i] - (period * Math.Floor(values[i] / period)) : values[i];
        }

        var sorted = (double[])keys.Clone();
        Array.Sort(sorted, order);
        var labels = new int[values.Length];
        var (label, first) = (0, 0.0);
        for (var k = 0; k < order.Length; k++)
        {
            if (k == 0 || sorted[k] - sorted[k - 1] > gap || sorted[k] - first > span)
            {
                label++;
                first = sorted[k];
            }

            labels[order[k]] = label - 1;
        }

        if (period > 0 && label > 1 && sorted[0] + period - sorted[^1] <= gap)
        {
            for (var i = 0; i < labels.Length; i++)
            {
                labels[i] = labels[i] == label - 1 ? 0 : labels[i];
            }
        }

        return labels;
    }
}
