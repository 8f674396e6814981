namespace Stencilwright.Boards.Roles;

/// <summary>Tells a layer's kind and side from words: file names, film names, comments, titles, layer reports.</summary>
internal static class RoleWords
{
    private enum Kind
    {
        None,
        Paste,
        Mask,
        Legend,
        Outline,
        Copper,
        Drill,
        Placement,
        Other,
        Top,
        Bottom,
        WeakOutline,
        Nonplated,
        Solder,
        Filler,
    }

    // The trade's words; longer spellings are put together from these, such as toppastemask.
    private static readonly (string Word, Kind Kind)[] _words =
    [
        ("paste", Kind.Paste), ("past", Kind.Paste), ("cream", Kind.Paste), ("crc", Kind.Paste), ("stencil", Kind.Paste), ("pasta", Kind.Paste),
        ("lotpaste", Kind.Paste), ("lötpaste", Kind.Paste), ("pasten", Kind.Paste), ("pochoir", Kind.Paste), ("pate", Kind.Paste), ("pâte", Kind.Paste),
        ("mask", Kind.Mask), ("masks", Kind.Mask), ("resist", Kind.Mask), ("stopmask", Kind.Mask), ("maske", Kind.Mask), ("masque", Kind.Mask), ("lotstop", Kind.Mask), ("lötstop", Kind.Mask),
        ("silk", Kind.Legend), ("silkscreen", Kind.Legend), ("legend", Kind.Legend), ("overlay", Kind.Legend), ("nomenclature", Kind.Legend), ("ident", Kind.Legend), ("serigraphie", Kind.Legend),
        ("outline", Kind.Outline), ("edge", Kind.Outline), ("edges", Kind.Outline), ("profile", Kind.Outline), ("contour", Kind.Outline), ("border", Kind.Outline), ("umriss", Kind.Outline),
        ("kontur", Kind.Outline), ("contorno", Kind.Outline), ("cuts", Kind.Outline), ("cutout", Kind.Outline), ("perimeter", Kind.Outline),
        ("board", Kind.WeakOutline), ("keepout", Kind.WeakOutline), ("dimension", Kind.WeakOutline), ("dimensions", Kind.WeakOutline), ("milling", Kind.WeakOutline), ("route", Kind.WeakOutline),
        ("copper", Kind.Copper), ("cu", Kind.Copper), ("etch", Kind.Copper), ("signal", Kind.Copper), ("conductor", Kind.Copper), ("kupfer", Kind.Copper), ("cuivre", Kind.Copper), ("cobre", Kind.Copper),
        ("drill", Kind.Drill), ("drills", Kind.Drill), ("hole", Kind.Drill), ("holes", Kind.Drill), ("pth", Kind.Drill), ("slots", Kind.Drill), ("bohrungen", Kind.Drill),
        ("npth", Kind.Nonplated), ("nonplated", Kind.Nonplated), ("unplated", Kind.Nonplated),
        ("placement", Kind.Placement), ("pick", Kind.Placement), ("centroid", Kind.Placement), ("centroids", Kind.Placement), ("pos", Kind.Placement), ("positions", Kind.Placement),
        ("pnp", Kind.Placement), ("cpl", Kind.Placement), ("xyrs", Kind.Placement),
        ("adhesive", Kind.Other), ("adhes", Kind.Other), ("glue", Kind.Other), ("fab", Kind.Other), ("assembly", Kind.Other), ("courtyard", Kind.Other), ("crtyd", Kind.Other),
        ("drawing", Kind.Other), ("drillmap", Kind.Other), ("guide", Kind.Other), ("notes", Kind.Other), ("master", Kind.Other), ("inner", Kind.Other), ("internal", Kind.Other), ("plane", Kind.Other),
        ("component", Kind.Filler), ("readme", Kind.Other), ("licence", Kind.Other), ("license", Kind.Other), ("bom", Kind.Other), ("peelable", Kind.Other), ("carbon", Kind.Other),
        ("top", Kind.Top), ("front", Kind.Top), ("upper", Kind.Top), ("primary", Kind.Top), ("oben", Kind.Top), ("haut", Kind.Top),
        ("bottom", Kind.Bottom), ("bot", Kind.Bottom), ("back", Kind.Bottom), ("lower", Kind.Bottom), ("secondary", Kind.Bottom), ("unten", Kind.Bottom),
        ("solder", Kind.Solder), ("layer", Kind.Filler), ("side", Kind.Filler), ("geometry", Kind.Filler), ("pin", Kind.Filler), ("poly", Kind.Filler), ("film", Kind.Filler),
        ("mech", Kind.Filler), ("mechanical", Kind.Filler), ("data", Kind.Filler), ("through", Kind.Filler), ("gerber", Kind.Filler),
    ];

    private static readonly Dictionary<string, Kind> _kinds = ToDictionary();

    /// <summary>What the words tell; null when they tell nothing.</summary>
    /// <param name="text">A name without its extension, or a phrase.</param>
    /// <param name="isDrill">True when the file's content is drill data.</param>
    /// <param name="isGerber">True when the file's content is a Gerber image.</param>
    /// <param name="source">What the words are, for the reason: <c>file name</c>.</param>
    public static RoleGuess? Read(string text, bool isDrill, bool isGerber, string source)
    {
        var kinds = new List<(string Token, Kind Kind)>();
        foreach (var token in Tokens(text))
        {
            Classify(token, kinds);
        }

        JoinPairs(kinds);
        var role = RoleOf(kinds, isDrill, isGerber, out var confidence, out var why);
        return role is { } found ? new RoleGuess(found, $"its {source} says {why}", confidence) : null;
    }

    /// <summary>The words of a name in lower case: parted at signs, at digits, and where a small letter meets a capital.</summary>
    internal static List<string> Tokens(string text)
    {
        var result = new List<string>();
        var from = -1;
        for (var i = 0; i <= text.Length; i++)
        {
            var isLetter = i < text.Length && char.IsLetter(text[i]);
            var isTurn = isLetter && from >= 0 && char.IsUpper(text[i])
                && (char.IsLower(text[i - 1]) || (i + 1 < text.Length && char.IsLower(text[i + 1])));
            if (from >= 0 && (!isLetter || isTurn))
            {
                result.Add(text[from..i].ToLowerInvariant());
                from = -1;
            }

            if (isLetter && from < 0)
            {
                from = i;
            }
        }

        return result;
    }

    private static void Classify(string token, List<(string Token, Kind Kind)> kinds)
    {
        if (_kinds.TryGetValue(token, out var kind))
        {
            kinds.Add((token, kind));
            return;
        }

        var before = kinds.Count;
        if (!Split(token, kinds))
        {
            kinds.RemoveRange(before, kinds.Count - before);
            kinds.Add((token, Kind.None));
        }
    }

    // A token wholly made of known words of three letters or more, the longest first.
    private static bool Split(string token, List<(string Token, Kind Kind)> kinds)
    {
        if (token.Length == 0)
        {
            return true;
        }

        for (var length = token.Length; length >= 3; length--)
        {
            if (!_kinds.TryGetValue(token[..length], out var kind))
            {
                continue;
            }

            kinds.Add((token[..length], kind));
            if (Split(token[length..], kinds))
            {
                return true;
            }

            kinds.RemoveAt(kinds.Count - 1);
        }

        return false;
    }

    // Pairs that mean something else than their words: component side, solder side, non plated, keep out, drill drawing.
    private static void JoinPairs(List<(string Token, Kind Kind)> kinds)
    {
        for (var i = 0; i + 1 < kinds.Count; i++)
        {
            var pair = (kinds[i].Token, kinds[i + 1].Token) switch
            {
                ("component", "side") => Kind.Top,
                ("solder", "side") => Kind.Bottom,
                ("non", "plated") => Kind.Nonplated,
                ("keep", "out") => Kind.WeakOutline,
                ("drill", "drawing" or "guide" or "map") => Kind.Other,
                ("top" or "bottom", "component") when i + 2 < kinds.Count && kinds[i + 2].Kind == Kind.Outline => Kind.Other,
                _ => Kind.None,
            };
            if (pair != Kind.None)
            {
                kinds[i] = ($"{kinds[i].Token} {kinds[i + 1].Token}", pair);
                kinds.RemoveAt(i + 1);
            }
        }
    }

    private static LayerRole? RoleOf(
        List<(string Token, Kind Kind)> kinds, bool isDrill, bool isGerber, out double confidence, out string why)
    {
        (confidence, why) = (0.7, "");
        if (isDrill)
        {
            var bare = Find(kinds, Kind.Nonplated);
            why = bare >= 0 ? Quote(kinds, bare) : "drill";
            return bare >= 0 ? LayerRole.DrillNonplated : Find(kinds, Kind.Drill) >= 0 ? LayerRole.DrillPlated : null;
        }

        // Paste before mask: "paste mask" is paste. Other kinds before copper: "inner copper" is of no use here.
        foreach (var kind in (ReadOnlySpan<Kind>)[Kind.Paste, Kind.Mask, Kind.Legend, Kind.Placement, Kind.Other, Kind.Outline])
        {
            var at = Find(kinds, kind);
            if (at >= 0)
            {
                return Sided(kind, kinds, at, out confidence, out why);
            }
        }

        if (isGerber && (Find(kinds, Kind.Drill) >= 0 || Find(kinds, Kind.Nonplated) >= 0))
        {
            (confidence, why) = (0.4, "drill, and it is an image and no drill data");
            return LayerRole.Ignore;
        }

        return Weak(kinds, out confidence, out why);
    }

    private static LayerRole? Sided(Kind kind, List<(string Token, Kind Kind)> kinds, int at, out double confidence, out string why)
    {
        (confidence, why) = (0.7, Quote(kinds, at));
        if (kind == Kind.Placement)
        {
            return LayerRole.Placement;
        }

        if (kind == Kind.Other)
        {
            confidence = 0.6;
            return LayerRole.Ignore;
        }

        if (kind == Kind.Outline)
        {
            return LayerRole.Outline;
        }

        var side = SideOf(kinds, at);
        if (side == Kind.None)
        {
            // A package often names the only side it has not at all.
            (confidence, why) = (0.45, why + " and no side, so the top");
        }

        var isTop = side != Kind.Bottom;
        return kind switch
        {
            Kind.Paste => isTop ? LayerRole.PasteTop : LayerRole.PasteBottom,
            Kind.Mask => isTop ? LayerRole.MaskTop : LayerRole.MaskBottom,
            Kind.Legend => isTop ? LayerRole.LegendTop : LayerRole.LegendBottom,
            _ => isTop ? LayerRole.CopperTop : LayerRole.CopperBottom,
        };
    }

    // Copper, "top solder" (the mask), a side alone (its copper), and words that only sometimes mean the edge.
    private static LayerRole? Weak(List<(string Token, Kind Kind)> kinds, out double confidence, out string why)
    {
        var copper = Find(kinds, Kind.Copper);
        if (copper >= 0)
        {
            var role = Sided(Kind.Copper, kinds, copper, out confidence, out why);
            // Copper of no side may be an inner layer.
            return confidence < 0.5 ? LayerRole.Ignore : role;
        }

        var solder = Find(kinds, Kind.Solder);
        if (solder >= 0 && SideOf(kinds, solder) != Kind.None)
        {
            return Sided(Kind.Mask, kinds, solder, out confidence, out why);
        }

        var (top, bottom) = (Find(kinds, Kind.Top), Find(kinds, Kind.Bottom));
        if (top >= 0 || bottom >= 0)
        {
            (confidence, why) = (0.5, Quote(kinds, Math.Max(top, bottom)) + " and no kind, so copper");
            return top >= 0 ? LayerRole.CopperTop : LayerRole.CopperBottom;
        }

        var weak = Find(kinds, Kind.WeakOutline);
        (confidence, why) = (0.35, weak >= 0 ? Quote(kinds, weak) : "");
        return weak >= 0 ? LayerRole.Outline : null;
    }

    private static Kind SideOf(List<(string Token, Kind Kind)> kinds, int at)
    {
        foreach (var (_, kind) in kinds)
        {
            if (kind is Kind.Top or Kind.Bottom)
            {
                return kind;
            }
        }

        // A single letter counts beside the word of the kind only: F.Paste, paste_b.
        foreach (var near in (ReadOnlySpan<int>)[at - 1, at + 1, at - 2])
        {
            if (near >= 0 && near < kinds.Count)
            {
                switch (kinds[near].Token)
                {
                    case "f" or "t" or "cs":
                        return Kind.Top;
                    case "b" or "ss":
                        return Kind.Bottom;
                    default:
                        break;
                }
            }
        }

        return Kind.None;
    }

    private static int Find(List<(string Token, Kind Kind)> kinds, Kind wanted) => kinds.FindIndex(k => k.Kind == wanted);

    private static string Quote(List<(string Token, Kind Kind)> kinds, int at) => $"'{kinds[at].Token}'";

    private static Dictionary<string, Kind> ToDictionary()
    {
        var result = new Dictionary<string, Kind>(_words.Length, StringComparer.Ordinal);
        foreach (var (word, kind) in _words)
        {
            result.Add(word, kind);
        }

        return result;
    }
}
