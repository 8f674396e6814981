using Stencilwright.Boards.Parts;
using Stencilwright.Design.Printing;

namespace Stencilwright.Output;

/// <summary>The words that reports and drawings use for kinds of parts and for doubts.</summary>
public static class PartWords
{
    /// <summary>A kind of part, as rule files and reports write it.</summary>
    public static string Class(PartClass kind) => kind switch
    {
        PartClass.Chip => "chip",
        PartClass.SmallTransistor => "small-transistor",
        PartClass.SmallOutline => "small-outline",
        PartClass.DualNoLead => "dual-no-lead",
        PartClass.QuadFlat => "quad-flat",
        PartClass.QuadNoLead => "quad-no-lead",
        PartClass.GridArray => "grid-array",
        PartClass.Connector => "connector",
        PartClass.Single => "single",
        _ => "unknown",
    };

    /// <summary>A kind of part for people, in the plural.</summary>
    public static string Plural(PartClass kind) => kind switch
    {
        PartClass.Chip => "chips",
        PartClass.SmallTransistor => "small transistors",
        PartClass.SmallOutline => "SO and TSSOP",
        PartClass.DualNoLead => "DFN and SON",
        PartClass.QuadFlat => "QFP",
        PartClass.QuadNoLead => "QFN",
        PartClass.GridArray => "BGA and LGA",
        PartClass.Connector => "connectors",
        PartClass.Single => "single pads",
        _ => "unrecognised",
    };

    /// <summary>Each doubt by a word.</summary>
    public static IEnumerable<string> Doubts(PrintDoubts doubts)
    {
        foreach (var (doubt, word) in (IEnumerable<(PrintDoubts, string)>)
            [(PrintDoubts.Closed, "closed"), (PrintDoubts.AreaRatio, "area-ratio"), (PrintDoubts.AspectRatio, "aspect-ratio"), (PrintDoubts.Powder, "powder"), (PrintDoubts.Web, "web")])
        {
            if (doubts.HasFlag(doubt))
            {
                yield return word;
            }
        }
    }
}
