using System.Text;

namespace Stencilwright.Artwork.Placement;

internal enum ColumnKind
{
    None,
    Reference,
    X,
    Y,
    Rotation,
    Side,
    Mirror,
    Value,
    Package,
}

/// <summary>What a column's name says.</summary>
/// <param name="Kind">What it holds.</param>
/// <param name="Rank">0 for a name that means just this; higher for names that mean it where no better one is there.</param>
/// <param name="Unit">The unit that the name gives.</param>
internal readonly record struct ColumnMeaning(ColumnKind Kind, int Rank, ListUnit? Unit);

/// <summary>The names that columns of placement lists have (common practice, no source), in English, German and French.</summary>
internal static class ColumnNames
{
    private static readonly Dictionary<string, (ColumnKind Kind, int Rank)> _names = Build();

    // Words that stand beside x and y: the middle of the part, a chosen origin, its first pin.
    private static readonly HashSet<string> _middle = new(StringComparer.Ordinal)
    {
        "mid", "middle", "center", "centre", "centroid", "pos", "position", "location", "loc", "coord", "coordinate", "coordinates", "body", "part", "comp", "component",
        "placement", "mitte", "koordinate", "koordinaten", "achse", "en", "coordonnée", "coordonnee", "axe", "axis", "cad", "board", "place", "value",
    };

    private static readonly HashSet<string> _origin = new(StringComparer.Ordinal) { "ref", "reference", "origin", "anchor", "symbol", "sym", "insert", "insertion", "ursprung", "origine" };

    private static readonly HashSet<string> _pin = new(StringComparer.Ordinal) { "pad", "pin", "pin1", "pad1", "first" };

    /// <summary>What a cell of a header says; none for an unknown name.</summary>
    public static ColumnMeaning Read(string cell)
    {
        if (cell.Length is 0 or > 60)
        {
            return default;
        }

        var words = Words(cell);
        ListUnit? unit = null;
        for (var i = words.Count - 1; i > 0; i--)
        {
            if (words[i] is "deg" or "degree" or "degrees" or "grad" or "°" or "degrés")
            {
                words.RemoveAt(i);
            }
            else if (ListUnit.Find(words[i]) is { } found)
            {
                unit = found;
                words.RemoveAt(i);
            }
        }

        if (words.Count == 0)
        {
            return default;
        }

        if (_names.TryGetValue(string.Join(' ', words), out var known))
        {
            return new ColumnMeaning(known.Kind, known.Rank, unit);
        }

        return Axis(words) is var (kind, rank) && kind != ColumnKind.None ? new ColumnMeaning(kind, rank, unit) : default;
    }

    // One word x or y, and beside it nothing but words that go with one: Mid X, PosX, Ref-X (mm), X Koordinate.
    private static (ColumnKind Kind, int Rank) Axis(List<string> words)
    {
        var (kind, rank, others) = (ColumnKind.None, 0, 0);
        foreach (var whole in words)
        {
            var word = whole;
            if (kind == ColumnKind.None && AxisOf(word, out var rest) is var axis and not ColumnKind.None)
            {
                kind = axis;
                word = rest;
                if (word.Length == 0)
                {
                    continue;
                }
            }

            others++;
            if (_pin.Contains(word) || word == "1")
            {
                rank = 2;
            }
            else if (_origin.Contains(word))
            {
                rank = Math.Max(rank, 1);
            }
            else if (!_middle.Contains(word))
            {
                return default;
            }
        }

        return others <= 3 ? (kind, rank) : default;
    }

    private static ColumnKind AxisOf(string word, out string rest)
    {
        rest = "";
        if (word is "x" or "y")
        {
            return word == "x" ? ColumnKind.X : ColumnKind.Y;
        }

        if (word.Length < 3)
        {
            return ColumnKind.None;
        }

        foreach (var (letter, known) in (ReadOnlySpan<(char, string)>)[(word[^1], word[..^1]), (word[0], word[1..])])
        {
            if (letter is 'x' or 'y' && (_middle.Contains(known) || _origin.Contains(known) || _pin.Contains(known)))
            {
                rest = known;
                return letter == 'x' ? ColumnKind.X : ColumnKind.Y;
            }
        }

        return ColumnKind.None;
    }

    // In lower case; parted at signs and where a small letter meets a capital.
    private static List<string> Words(string cell)
    {
        var words = new List<string>(4);
        var word = new StringBuilder(16);
        for (var i = 0; i < cell.Length; i++)
        {
            var c = cell[i];
            var isTurn = i > 0 && char.IsUpper(c) && char.IsLower(cell[i - 1]);
            if (!(char.IsLetterOrDigit(c) || c is '°' or '"') || isTurn)
            {
                Close(words, word);
            }

            if (char.IsLetterOrDigit(c) || c is '°' or '"')
            {
                word.Append(char.ToLowerInvariant(c));
            }
        }

        Close(words, word);
        return words;
    }

    private static void Close(List<string> words, StringBuilder word)
    {
        if (word.Length > 0)
        {
            words.Add(word.ToString());
            word.Clear();
        }
    }

    private static Dictionary<string, (ColumnKind Kind, int Rank)> Build()
    {
        var names = new Dictionary<string, (ColumnKind Kind, int Rank)>(StringComparer.Ordinal);
        Add(names, ColumnKind.Reference, 0, "designator", "designators", "refdes", "ref des", "ref", "reference", "references", "reference designator", "ref designator",
            "part reference", "component reference", "bezeichner", "referenz", "bauteilreferenz", "repère", "repere", "référence", "désignateur", "désignation", "symbol name", "ref name", "ref id");
        Add(names, ColumnKind.Reference, 1, "name", "part", "parts", "bauteil", "bauteilname", "composant", "nom", "position", "pos");
        Add(names, ColumnKind.Reference, 2, "component", "component name", "comp", "id", "item", "part name");
        Add(names, ColumnKind.Rotation, 0, "rotation", "rot", "angle", "orientation", "orient", "theta", "rotation angle", "drehung", "winkel", "drehwinkel", "rotationswinkel", "ausrichtung",
            "orientierung", "angle de rotation", "part rotation", "ang", "phi");
        Add(names, ColumnKind.Side, 0, "side", "layer", "tb", "t b", "mount side", "mounting side", "board side", "placement side", "pcb side", "component side", "assembly side", "top bottom",
            "seite", "lage", "ebene", "bestückungsseite", "leiterplattenseite", "côté", "cote", "face", "couche", "placement layer", "component layer", "surface", "board layer");
        Add(names, ColumnKind.Mirror, 0, "mirror", "mirrored", "gespiegelt", "miroir", "flip", "flipped", "mirror state");
        Add(names, ColumnKind.Value, 0, "value", "val", "wert", "valeur", "component value", "part value", "bauteilwert");
        Add(names, ColumnKind.Value, 1, "comment", "kommentar", "commentaire");
        Add(names, ColumnKind.Value, 2, "part number", "partnumber", "part no", "mpn", "device", "part type", "type", "typ", "article", "artikel", "artikelnummer");
        Add(names, ColumnKind.Value, 3, "description", "desc", "beschreibung");
        Add(names, ColumnKind.Package, 0, "package", "footprint", "pattern", "case", "case code", "pcb footprint", "gehäuse", "gehaeuse", "bauform", "boîtier", "boitier", "empreinte",
            "package name", "footprint name", "package reference", "land pattern", "pcb pattern", "pattern name");
        Add(names, ColumnKind.Package, 1, "shape", "case style", "geometry", "size");
        return names;
    }

    private static void Add(Dictionary<string, (ColumnKind Kind, int Rank)> names, ColumnKind kind, int rank, params ReadOnlySpan<string> more)
    {
        foreach (var name in more)
        {
            names.Add(name, (kind, rank));
        }
    }
}
