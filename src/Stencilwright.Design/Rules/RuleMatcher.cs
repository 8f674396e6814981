using System.Collections.Immutable;
using Stencilwright.Boards.Parts;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Design.Rules;

/// <summary>What is known of an opening besides its shape.</summary>
internal readonly record struct OpeningFacts
{
    public required BoardSide Side { get; init; }

    public BoardPart? Part { get; init; }

    public PadFunction? Function { get; init; }

    /// <summary>True when the part's thermal pad comes in several openings.</summary>
    public bool IsPaned { get; init; }

    public string? Reference { get; init; }

    /// <summary>Towards the middle of the part, in the opening's frame; zero when it is not known.</summary>
    public Vector2 Heel { get; init; }

    public bool IsSure => Part is { Confidence: >= BoardPart.SureFrom };
}

/// <summary>Decides which rule an opening gets.</summary>
internal static class RuleMatcher
{
    /// <summary>The first rule that is for the opening and can shape it; null when there is none.</summary>
    /// <param name="set">The rules.</param>
    /// <param name="form">The opening.</param>
    /// <param name="facts">What is known of it.</param>
    /// <param name="passedOver">The first rule that was for it but needs another shape, or to know where the part's middle lies.</param>
    public static ApertureRule? Find(RuleSet set, LocalOpening form, in OpeningFacts facts, out ApertureRule? passedOver)
    {
        passedOver = null;
        foreach (var rule in set.Rules)
        {
            if (IsFor(rule.Match, form, facts))
            {
                if (CanShape(rule.Change, form, facts.Heel))
                {
                    return rule;
                }

                passedOver ??= rule;
            }
        }

        return null;
    }

    /// <summary>Whether a name fits a pattern with <c>*</c> and <c>?</c>; capitals do not matter.</summary>
    public static bool Fits(string pattern, string name)
    {
        // The last star met takes one more letter whenever what follows it fails.
        var (p, n, star, from) = (0, 0, -1, 0);
        while (n < name.Length)
        {
            if (p < pattern.Length && (pattern[p] == '?' || char.ToUpperInvariant(pattern[p]) == char.ToUpperInvariant(name[n])))
            {
                p++;
                n++;
            }
            else if (p < pattern.Length && pattern[p] == '*')
            {
                (star, from) = (p++, n);
            }
            else if (star >= 0)
            {
                (p, n) = (star + 1, ++from);
            }
            else
            {
                return false;
            }
        }

        while (p < pattern.Length && pattern[p] == '*')
        {
            p++;
        }

        return p == pattern.Length;
    }

    private static bool CanShape(RuleChange change, LocalOpening form, Vector2 heel) =>
        (!change.NeedsBox || form.IsBox)
        && (!change.NeedsHeel || heel != default)
        && change.Reshape switch
        {
            Reshaping.RoundedSquare => form.Shape == OpeningShape.Circle,
            Reshaping.HomePlate or Reshaping.InvertedHomePlate or Reshaping.BowTie => form.Shape is OpeningShape.Rectangle or OpeningShape.RoundedRectangle,
            _ => change.Panes is null || form.Shape is OpeningShape.Rectangle or OpeningShape.RoundedRectangle,
        };

    private static bool IsFor(RuleMatch match, LocalOpening form, in OpeningFacts facts) =>
        (!match.NamesPart || (facts.IsSure && IsForPart(match, facts)))
        && (match.PitchMm is not { } pitch || (facts.Part?.PitchMm is { } is1 && pitch.Contains(is1)))
        && (match.WidthMm is not { } width || width.Contains(form.WidthMm))
        && (match.LengthMm is not { } length || length.Contains(form.LengthMm))
        && (match.AreaMm2 is not { } area || area.Contains(form.AreaMm2))
        && (match.Shapes.IsEmpty || match.Shapes.Contains(form.Shape))
        && (match.Side is not { } side || side == facts.Side)
        && (match.References.IsEmpty || (facts.Reference is { } reference && FitsAny(match.References, reference)));

    private static bool IsForPart(RuleMatch match, in OpeningFacts facts) =>
        (match.Classes.IsEmpty || match.Classes.Contains(facts.Part!.Class))
        && (match.Functions.IsEmpty || (facts.Function is { } function && match.Functions.Contains(function)))
        && (match.IsPaned is not { } paned || paned == facts.IsPaned)
        && (match.SizesImperial.IsEmpty || (facts.Part!.SizeImperial is { } imperial && match.SizesImperial.Contains(imperial)))
        && (match.SizesMetric.IsEmpty || (facts.Part!.SizeMetric is { } metric && match.SizesMetric.Contains(metric)));

    private static bool FitsAny(ImmutableArray<string> patterns, string name)
    {
        foreach (var pattern in patterns)
        {
            if (Fits(pattern, name))
            {
                return true;
            }
        }

        return false;
    }
}
