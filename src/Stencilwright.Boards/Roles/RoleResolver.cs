using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Artwork;
using Stencilwright.Foundation;

namespace Stencilwright.Boards.Roles;

/// <summary>A file with what it was taken for, before the package is looked at as a whole.</summary>
/// <param name="File">Name inside the package.</param>
/// <param name="Format">What its content is; null when it is nothing that can be read.</param>
/// <param name="Guess">What <see cref="RoleFinder"/> said of it alone.</param>
/// <param name="Image">The layer where it has been read; null leaves emptiness and cleanness unknown.</param>
public sealed record RoleCandidate(string File, ArtworkFormat? Format, RoleGuess Guess, LayerImage? Image);

/// <summary>The roles of a package's files.</summary>
/// <param name="Guesses">One for each candidate, in the candidates' order.</param>
/// <param name="Diagnostics">BRD060 to BRD063.</param>
public sealed record RoleResolution(ImmutableArray<RoleGuess> Guesses, ImmutableArray<Diagnostic> Diagnostics);

/// <summary>Decides which file has a role that several claim, and says what was assumed.</summary>
public static class RoleResolver
{
    /// <summary>Below this a role is a guess that a person should confirm.</summary>
    public const double DoubtfulBelow = 0.5;

    /// <summary>Settles the roles of a whole package; the order of the candidates does not matter.</summary>
    /// <param name="candidates">Every file.</param>
    /// <param name="overrides">Roles given by the user, by name inside the package or by the name without folders; capitals do not matter.</param>
    public static RoleResolution Resolve(ImmutableArray<RoleCandidate> candidates, IReadOnlyDictionary<string, LayerRole>? overrides = null)
    {
        var diagnostics = ImmutableArray.CreateBuilder<Diagnostic>();
        var guesses = new RoleGuess[candidates.Length];
        var isGiven = new bool[candidates.Length];
        for (var i = 0; i < candidates.Length; i++)
        {
            guesses[i] = candidates[i].Guess;
        }

        ApplyOverrides(candidates, overrides, guesses, isGiven, diagnostics);
        foreach (var role in (ReadOnlySpan<LayerRole>)[
            LayerRole.PasteTop, LayerRole.PasteBottom, LayerRole.Outline, LayerRole.CopperTop, LayerRole.CopperBottom,
            LayerRole.MaskTop, LayerRole.MaskBottom, LayerRole.LegendTop, LayerRole.LegendBottom])
        {
            Settle(role, candidates, guesses, isGiven, diagnostics);
        }

        SayDoubts(candidates, guesses, isGiven, diagnostics);
        return new RoleResolution([.. guesses], diagnostics.ToImmutable());
    }

    private static void ApplyOverrides(
        ImmutableArray<RoleCandidate> candidates,
        IReadOnlyDictionary<string, LayerRole>? overrides,
        RoleGuess[] guesses,
        bool[] isGiven,
        ImmutableArray<Diagnostic>.Builder diagnostics)
    {
        if (overrides is null)
        {
            return;
        }

        var names = new List<string>(overrides.Keys);
        names.Sort(StringComparer.Ordinal);
        foreach (var name in names)
        {
            var met = Matching(candidates, name);
            foreach (var index in met)
            {
                guesses[index] = new RoleGuess(overrides[name], "it was given on request", 1);
                isGiven[index] = true;
            }

            if (met.Count == 0)
            {
                var meant = Suggestion.For(name, candidates.Select(c => RoleFinder.BaseName(c.File)));
                diagnostics.Add(new Diagnostic("BRD063", Severity.Error,
                    $"A role was given for '{name}', but no file of that name was read{(meant is null ? "" : $"; '{meant}' was perhaps meant")}. Give the name as the survey lists it.",
                    SourcePlace.Whole(name)));
            }
        }
    }

    private static List<int> Matching(ImmutableArray<RoleCandidate> candidates, string name)
    {
        var (whole, bare) = (new List<int>(), new List<int>());
        for (var i = 0; i < candidates.Length; i++)
        {
            if (Is(candidates[i].File, name))
            {
                whole.Add(i);
            }
            else if (Is(RoleFinder.BaseName(candidates[i].File), name))
            {
                bare.Add(i);
            }
        }

        return whole.Count > 0 ? whole : bare;
    }

    private static void Settle(
        LayerRole role, ImmutableArray<RoleCandidate> candidates, RoleGuess[] guesses, bool[] isGiven, ImmutableArray<Diagnostic>.Builder diagnostics)
    {
        var claims = new List<Claim>();
        for (var i = 0; i < candidates.Length; i++)
        {
            if (guesses[i].Role == role)
            {
                claims.Add(Claim.Of(i, candidates[i], guesses[i], isGiven[i], role));
            }
        }

        if (claims.Count < 2)
        {
            return;
        }

        claims.Sort(Claim.Compare);
        var kept = claims[0];
        for (var i = 1; i < claims.Count; i++)
        {
            var lost = claims[i];
            var reason = Claim.Reason(kept, lost);
            guesses[lost.Index] = new RoleGuess(LayerRole.Ignore, $"'{kept.File}' was kept as {role.ToText()}: {reason}", lost.Guess.Confidence);
            var isHarmless = lost.IsEmpty || lost.Format != kept.Format;
            diagnostics.Add(new Diagnostic("BRD060", isHarmless ? Severity.Note : Severity.Warning,
                $"'{lost.File}' and '{kept.File}' both look like {role.ToText()}; '{kept.File}' was kept because {reason}. To choose the other, use --role \"{lost.File}={role.ToText()}\".",
                SourcePlace.Whole(lost.File)));
        }
    }

    private static void SayDoubts(
        ImmutableArray<RoleCandidate> candidates, RoleGuess[] guesses, bool[] isGiven, ImmutableArray<Diagnostic>.Builder diagnostics)
    {
        for (var i = 0; i < candidates.Length; i++)
        {
            var (candidate, guess) = (candidates[i], guesses[i]);
            if (isGiven[i] || candidate.Format is not (ArtworkFormat.Gerber or ArtworkFormat.Svg))
            {
                continue;
            }

            if (guess.Role == LayerRole.Ignore && guess.Confidence == 0)
            {
                diagnostics.Add(new Diagnostic("BRD062", Severity.Warning,
                    $"Nothing in '{candidate.File}' or in its name says what it is, so it was left aside; if it is needed, use --role \"{candidate.File}=paste-top\" or another role.",
                    SourcePlace.Whole(candidate.File)));
            }
            else if (guess.Role != LayerRole.Ignore && guess.Confidence < DoubtfulBelow)
            {
                diagnostics.Add(new Diagnostic("BRD061", Severity.Warning,
                    $"'{candidate.File}' was taken for {guess.Role.ToText()} only because {guess.Why}; if that is wrong, use --role \"{candidate.File}=ignore\" or another role.",
                    SourcePlace.Whole(candidate.File)));
            }
        }
    }

    private static bool Is(string a, string b) => string.Equals(a, b, StringComparison.OrdinalIgnoreCase);

    // What decides between files of one role, in this order.
    private sealed record Claim(
        int Index, string File, RoleGuess Guess, bool IsGiven, bool IsEmpty, int Tier, int ClosedPercent, int Pens, ArtworkFormat? Format)
    {
        public static Claim Of(int index, RoleCandidate candidate, RoleGuess guess, bool isGiven, LayerRole role)
        {
            var tier = guess.Confidence >= 0.95 ? 3 : guess.Confidence >= DoubtfulBelow ? 2 : 1;
            var (closed, pens) = role == LayerRole.Outline && candidate.Image is { } image ? Cleanness(image) : (100, 1);
            return new Claim(
                index, candidate.File, guess, isGiven, candidate.Image is { Objects.IsEmpty: true }, tier, closed, pens,
                candidate.Format);
        }

        private bool IsSvg => Format == ArtworkFormat.Svg;

        public static int Compare(Claim a, Claim b)
        {
            foreach (var order in (ReadOnlySpan<int>)[
                b.IsGiven.CompareTo(a.IsGiven),
                a.IsEmpty.CompareTo(b.IsEmpty),
                b.Tier.CompareTo(a.Tier),
                b.ClosedPercent.CompareTo(a.ClosedPercent),
                a.Pens.CompareTo(b.Pens),
                a.IsSvg.CompareTo(b.IsSvg),
                b.Guess.Confidence.CompareTo(a.Guess.Confidence),
                a.File.Length.CompareTo(b.File.Length),
                string.CompareOrdinal(a.File, b.File)])
            {
                if (order != 0)
                {
                    return order;
                }
            }

            return a.Index.CompareTo(b.Index);
        }

        public static string Reason(Claim kept, Claim lost) => kept switch
        {
            _ when kept.IsGiven != lost.IsGiven => "it was given on request",
            _ when kept.IsEmpty != lost.IsEmpty => "the other is empty",
            _ when kept.Tier != lost.Tier => $"the evidence is stronger ({kept.Guess.Why})",
            _ when kept.ClosedPercent != lost.ClosedPercent => "its lines close better",
            _ when kept.Pens != lost.Pens => "it is drawn with fewer pens",
            _ when kept.IsSvg != lost.IsSvg => "Gerber is exact where a plot is rounded",
            _ when kept.Guess.Confidence != lost.Guess.Confidence => $"the evidence is stronger ({kept.Guess.Why})",
            _ when kept.File.Length != lost.File.Length => "its name is plainer",
            _ => "it comes first by name",
        };

        // How much of the drawing is closed: filled outlines, and strokes whose two ends meet another stroke's.
        private static (int ClosedPercent, int Pens) Cleanness(LayerImage image)
        {
            var ends = new Dictionary<(long X, long Y), int>();
            var pens = new HashSet<string>(StringComparer.Ordinal);
            var (closed, all) = (0, 0);
            foreach (var painted in image.Objects)
            {
                all++;
                if (painted.CenterLine is not { } line)
                {
                    closed++;
                    continue;
                }

                pens.Add(painted.PenWidthMm.ToString("0.###", CultureInfo.InvariantCulture));
                Count(ends, line.Start);
                Count(ends, line.End);
            }

            foreach (var painted in image.Objects)
            {
                if (painted.CenterLine is { } line && Meets(ends, line.Start) && Meets(ends, line.End))
                {
                    closed++;
                }
            }

            return (all == 0 ? 0 : closed * 100 / all, Math.Max(1, pens.Count));
        }

        private static void Count(Dictionary<(long X, long Y), int> ends, Geometry.Point2 p)
        {
            var key = Key(p);
            ends[key] = ends.GetValueOrDefault(key) + 1;
        }

        private static bool Meets(Dictionary<(long X, long Y), int> ends, Geometry.Point2 p) => ends[Key(p)] > 1;

        // Ends within ten micrometres count as one.
        private static (long X, long Y) Key(Geometry.Point2 p) => ((long)Math.Round(p.X * 100), (long)Math.Round(p.Y * 100));
    }
}
