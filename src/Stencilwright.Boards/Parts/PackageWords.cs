namespace Stencilwright.Boards.Parts;

/// <summary>What a package name says of a part's kind and size.</summary>
/// <remarks>The words are the trade's names of outlines (JEDEC, EIAJ and IPC-7351 families, common practice).</remarks>
internal static class PackageWords
{
    private static readonly (string Word, PartClass Class)[] _words =
    [
        ("BGA", PartClass.GridArray), ("WLCSP", PartClass.GridArray), ("UCSP", PartClass.GridArray),
        ("QFN", PartClass.QuadNoLead), ("MLF", PartClass.QuadNoLead), ("MLP", PartClass.QuadNoLead),
        ("DFN", PartClass.DualNoLead), ("WSON", PartClass.DualNoLead), ("USON", PartClass.DualNoLead), ("VSON", PartClass.DualNoLead),
        ("QFP", PartClass.QuadFlat),
        ("SOT", PartClass.SmallTransistor), ("SC70", PartClass.SmallTransistor), ("SC-70", PartClass.SmallTransistor),
        ("SSOP", PartClass.SmallOutline), ("MSOP", PartClass.SmallOutline), ("TSOP", PartClass.SmallOutline), ("SOIC", PartClass.SmallOutline), ("SOP", PartClass.SmallOutline),
        ("SOD", PartClass.Chip), ("MELF", PartClass.Chip),
    ];

    /// <summary>The kind that a name says; null when it says none.</summary>
    public static PartClass? ClassOf(string package)
    {
        foreach (var (word, kind) in _words)
        {
            if (package.Contains(word, StringComparison.OrdinalIgnoreCase))
            {
                return kind;
            }
        }

        return SizesIn(package).Count > 0 ? PartClass.Chip : null;
    }

    /// <summary>Size codes among the runs of digits in a name, as written.</summary>
    public static List<string> SizesIn(string package)
    {
        var found = new List<string>();
        for (var i = 0; i < package.Length;)
        {
            var to = i;
            while (to < package.Length && char.IsAsciiDigit(package[to]))
            {
                to++;
            }

            if (to - i is 4 or 5)
            {
                var code = package[i..to];
                foreach (var size in ChipSizes.All)
                {
                    if (size.Imperial == code || size.Metric == code)
                    {
                        found.Add(code);
                        break;
                    }
                }
            }

            i = Math.Max(to, i + 1);
        }

        return found;
    }

    /// <summary>
    /// True when one of the size codes may mean this size. A code such as 0603 is one size in inches and another in millimetres;
    /// either is taken.
    /// </summary>
    public static bool MayBe(List<string> codes, string imperial, string metric) => codes.Contains(imperial) || codes.Contains(metric);
}
