using System.Collections.Immutable;
using Stencilwright.Foundation;

namespace Stencilwright.Boards.Parts;

/// <summary>What there is to say about parts told from openings.</summary>
internal static class PartFindings
{
    // More than these are told together: a page of doubts is read by nobody.
    private const int ToldSingly = 20;

    public static ImmutableArray<Finding> Of(List<BoardPart> parts)
    {
        var findings = ImmutableArray.CreateBuilder<Finding>();
        var doubtful = 0;
        foreach (var part in parts)
        {
            if (part.Confidence >= BoardPart.SureFrom)
            {
                continue;
            }

            doubtful++;
            if (doubtful <= ToldSingly)
            {
                findings.Add(new Finding
                {
                    Code = "BRD120",
                    Severity = Severity.Note,
                    Message = FormattableString.Invariant(
                        $"{Counted.Of(part.Pads.Length, "opening")}{(part.Reference is null ? "" : $" of {part.Reference}")} {Counted.Word(part.Pads.Length, "is", "are")} taken for {Words(part.Class)} with doubt ({part.Confidence:0.00}): {part.Why}; give a placement list or attributes to be sure."),
                    XMm = Math.Round(part.Center.X, 4),
                    YMm = Math.Round(part.Center.Y, 4),
                });
            }
        }

        if (doubtful > ToldSingly)
        {
            findings.Add(new Finding
            {
                Code = "BRD121",
                Severity = Severity.Note,
                Message = FormattableString.Invariant(
                    $"{doubtful} of {parts.Count} groups of openings are taken for parts with doubt, {doubtful - ToldSingly} of them not told singly; a placement list or attributes would name them."),
            });
        }

        return findings.ToImmutable();
    }

    /// <summary>A kind of part in a sentence.</summary>
    public static string Words(PartClass kind) => kind switch
    {
        PartClass.Chip => "a chip",
        PartClass.SmallTransistor => "a small transistor outline",
        PartClass.SmallOutline => "a small outline with leads",
        PartClass.DualNoLead => "a part with two rows of lands",
        PartClass.QuadFlat => "a quad flat pack",
        PartClass.QuadNoLead => "a quad part with lands",
        PartClass.GridArray => "a grid array",
        PartClass.Connector => "a connector",
        PartClass.Single => "a single opening",
        _ => "a part of unknown kind",
    };
}
