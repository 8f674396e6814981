using System.Collections.Immutable;
using Stencilwright.Artwork.Placement;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Boards.Parts;

/// <summary>Parts while sources are joined to them one after the other.</summary>
internal sealed class PartJoining
{
    // A row names a part when it lies within this, and a share of the part's own half diagonal, of its middle: lists give the
    // centroid, the middle of the body or pin 1.
    private const double NearMm = 0.3;
    private const double NearShare = 0.6;

    // Doubtful parts are named only by a row well on their middle, until rows have had their chance to pair openings otherwise.
    private const double DoubtfulShare = 0.1;

    private readonly PasteLayer _paste;
    private readonly List<BoardPart?> _parts;
    private readonly NameFindings _findings = new();
    private readonly Dictionary<string, int> _byReference = new(StringComparer.Ordinal);
    private bool _isAnyJoined;

    public PartJoining(ImmutableArray<BoardPart> parts, PasteLayer paste)
    {
        _paste = paste;
        _parts = [.. parts.Select(WithOwnName)];
        Recount();
    }

    public ImmutableArray<BoardPart> Parts() => [.. _parts.OfType<BoardPart>().OrderBy(p => p.Pads[0].Index)];

    public ImmutableArray<Finding> Findings()
    {
        if (_isAnyJoined)
        {
            _findings.Unnamed([.. _parts.OfType<BoardPart>().Where(p => p.Reference is null)]);
        }

        return _findings.All();
    }

    /// <summary>Joins the rows of one source.</summary>
    public void Add(PlacementList source, ImmutableArray<PlacedPart> rows)
    {
        if (rows.IsEmpty || _parts.Count == 0)
        {
            return;
        }

        if (Fit(rows) is not { } fit)
        {
            _findings.NoFit(source, rows.Length);
            return;
        }

        _isAnyJoined = true;
        _findings.Fit(source, fit);
        var taken = new bool[rows.Length];
        ByReference(rows, fit, taken);
        ByPins(rows, fit, taken);
        ByMiddle(rows, fit, taken, DoubtfulShare);
        ByMirroredHalves(rows, fit, taken);
        ByMirroredOpenings(rows, fit, taken);
        ByMiddle(rows, fit, taken, NearShare);
        _findings.Unused(source, [.. rows.Where((_, i) => !taken[i])]);
    }

    // Pins lie on openings whatever the parts are; without them the middles of parts must do.
    private PlacementFit? Fit(ImmutableArray<PlacedPart> rows)
    {
        var pins = rows.SelectMany(r => r.Pins).Select(p => p.At).ToImmutableArray();
        if (pins.Length > 0 && PlacementFitter.Fit(pins, [.. _paste.Openings.Select(o => o.Shape.Bounds.Center)]) is { } byPins)
        {
            return byPins;
        }

        // Places of symmetric parts are the same for everybody; those of others only help when there are too few.
        var steady = _parts.OfType<BoardPart>().Where(p => p.Class is not (PartClass.Connector or PartClass.Unknown)).Select(p => p.Center).ToImmutableArray();
        return PlacementFitter.Fit([.. rows.Select(r => r.At)], steady.Length >= 3 ? steady : [.. _parts.OfType<BoardPart>().Select(p => p.Center)]);
    }

    private BoardPart WithOwnName(BoardPart part)
    {
        var name = _paste.Openings[part.Pads[0].Index].Component;
        return part.Reference is null && name is not null && part.Pads.All(p => _paste.Openings[p.Index].Component == name)
            ? part with { Reference = name, Pads = [.. part.Pads.Select(p => p with { Pin = p.Pin ?? _paste.Openings[p.Index].Pin })] }
            : part;
    }

    private void Recount()
    {
        _byReference.Clear();
        for (var k = 0; k < _parts.Count; k++)
        {
            if (_parts[k]?.Reference is { } reference)
            {
                _byReference.TryAdd(reference, k);
            }
        }
    }

    // Parts that already have a name: the row adds what it knows, or contradicts.
    private void ByReference(ImmutableArray<PlacedPart> rows, PlacementFit fit, bool[] taken)
    {
        for (var r = 0; r < rows.Length; r++)
        {
            if (_byReference.TryGetValue(rows[r].Reference, out var k))
            {
                var part = _parts[k]!;
                var distance = Point2.Distance(fit.Map.Apply(rows[r].At), part.Center);
                taken[r] = true;
                if (distance > NearMm + (2 * Reach(part)))
                {
                    _findings.Elsewhere(rows[r], part, distance);
                    continue;
                }

                _parts[k] = Fill(part, rows[r], fit);
            }
        }
    }

    // The openings that a row's pins lie in are the part's, and so is what geometry found together with them.
    private void ByPins(ImmutableArray<PlacedPart> rows, PlacementFit fit, bool[] taken)
    {
        if (rows.All(r => r.Pins.IsEmpty))
        {
            return;
        }

        var finder = new OpeningFinder(_paste);
        var partOf = new int[_paste.Openings.Length];
        for (var k = 0; k < _parts.Count; k++)
        {
            foreach (var pad in _parts[k]?.Pads ?? [])
            {
                partOf[pad.Index] = k;
            }
        }

        var owner = new int[_paste.Openings.Length];
        var pin = new string?[_paste.Openings.Length];
        Array.Fill(owner, -1);
        for (var r = 0; r < rows.Length; r++)
        {
            foreach (var placed in taken[r] ? [] : rows[r].Pins)
            {
                if (finder.At(fit.Map.Apply(placed.At)) is var i and >= 0)
                {
                    (owner[i], pin[i]) = (r, placed.Name);
                }
            }
        }

        Regroup(rows, fit, owner, pin, taken);
    }

    private void Regroup(ImmutableArray<PlacedPart> rows, PlacementFit fit, int[] owner, string?[] pin, bool[] taken)
    {
        var members = new SortedDictionary<int, List<int>>();
        for (var k = 0; k < _parts.Count; k++)
        {
            if (_parts[k] is not { Reference: null } part)
            {
                continue;
            }

            var owners = part.Pads.Select(p => owner[p.Index]).Where(o => o >= 0).Distinct().ToArray();
            if (owners.Length == 0)
            {
                continue;
            }

            foreach (var pad in part.Pads)
            {
                // Panes without a pin of their own go with the part's only owner, or with the owner of the nearest pad.
                var to = owner[pad.Index] >= 0 ? owner[pad.Index] : owners.Length == 1 ? owners[0] : NearestOwner(part, pad.Index, owner);
                if (!members.TryGetValue(to, out var list))
                {
                    members.Add(to, list = []);
                }

                list.Add(pad.Index);
            }

            _parts[k] = null;
        }

        foreach (var (r, list) in members)
        {
            list.Sort();
            var whole = Judged(list);
            whole = whole with { Pads = [.. whole.Pads.Select(p => p with { Pin = pin[p.Index] ?? p.Pin })] };
            _parts.Add(Fill(whole with { Reference = rows[r].Reference }, rows[r], fit));
            taken[r] = true;
        }

        Recount();
    }

    private int NearestOwner(BoardPart part, int opening, int[] owner)
    {
        var at = _paste.Openings[opening].Shape.Bounds.Center;
        return owner[part.Pads.Where(p => owner[p.Index] >= 0).MinBy(p => Point2.Distance(_paste.Openings[p.Index].Shape.Bounds.Center, at)).Index];
    }

    private BoardPart Judged(List<int> openings)
    {
        var pads = openings.Select(i => Pad.Of(_paste.Openings[i])).ToArray();
        var part = GroupJudge.Judge(pads, [.. Enumerable.Range(0, pads.Length)]);
        return part with { Pads = [.. part.Pads.Select(p => p with { Index = openings[p.Index] })] };
    }

    // Nearest first, in units of what each part allows; each row and each part once.
    private void ByMiddle(ImmutableArray<PlacedPart> rows, PlacementFit fit, bool[] taken, double doubtfulShare)
    {
        var places = rows.Select(r => fit.Map.Apply(r.At)).ToImmutableArray();
        var index = new PointIndex(places);
        var pairs = new List<(double Cost, int Part, int Row)>();
        for (var k = 0; k < _parts.Count; k++)
        {
            if (_parts[k] is not { } part)
            {
                continue;
            }

            var reach = NearMm + ((part.Confidence < BoardPart.SureFrom ? doubtfulShare : NearShare) * Reach(part));
            foreach (var r in index.Within(part.Center, reach))
            {
                if (!taken[r])
                {
                    pairs.Add((Point2.Distance(places[r], part.Center) / reach, k, r));
                }
            }
        }

        pairs.Sort();
        var isNamed = new bool[_parts.Count];
        foreach (var (cost, k, r) in pairs)
        {
            if (taken[r] || isNamed[k])
            {
                continue;
            }

            var part = _parts[k]!;
            if (part.Reference is { } other)
            {
                // Two names for one part, when the row lies well on it and has no other.
                if (cost < 0.3)
                {
                    (taken[r], isNamed[k]) = (true, true);
                    _findings.TwoNames(rows[r], part, other);
                }

                continue;
            }

            (taken[r], isNamed[k]) = (true, true);
            _parts[k] = Fill(part with { Reference = rows[r].Reference }, rows[r], fit);
        }

        Recount();
    }

    // A part that geometry took for two halves has its row between them.
    private void ByMirroredHalves(ImmutableArray<PlacedPart> rows, PlacementFit fit, bool[] taken)
    {
        var open = Enumerable.Range(0, _parts.Count).Where(k => _parts[k] is { Reference: null, Confidence: < BoardPart.SureFrom }).ToArray();
        if (open.Length < 2)
        {
            return;
        }

        var index = new PointIndex([.. open.Select(k => _parts[k]!.Center)]);
        for (var r = 0; r < rows.Length; r++)
        {
            var at = fit.Map.Apply(rows[r].At);
            foreach (var i in taken[r] ? [] : index.Within(at, 6))
            {
                if (_parts[open[i]] is not { } half || Opposite(index, open, i, at + (at - half.Center)) is not (var j and >= 0))
                {
                    continue;
                }

                var list = half.Pads.Concat(_parts[open[j]]!.Pads).Select(p => p.Index).Order().ToList();
                (_parts[open[i]], _parts[open[j]]) = (null, null);
                _parts.Add(Fill(Judged(list) with { Reference = rows[r].Reference }, rows[r], fit));
                taken[r] = true;
                break;
            }
        }

        Recount();
    }

    // Openings that geometry paired otherwise: two equal ones mirrored about a row's place are its terminals.
    private void ByMirroredOpenings(ImmutableArray<PlacedPart> rows, PlacementFit fit, bool[] taken)
    {
        var open = new List<(int Opening, int Part, Pad Pad)>();
        for (var k = 0; k < _parts.Count; k++)
        {
            if (_parts[k] is { Reference: null, Confidence: < BoardPart.SureFrom, Pads.Length: <= 4 } part)
            {
                open.AddRange(part.Pads.Select(p => (p.Index, k, Pad.Of(_paste.Openings[p.Index]))));
            }
        }

        var index = new PointIndex([.. open.Select(o => o.Pad.At)]);
        var isUsed = new bool[open.Count];
        for (var r = 0; r < rows.Length; r++)
        {
            if (taken[r] || MirroredPair(index, open, isUsed, fit.Map.Apply(rows[r].At)) is not { } pair)
            {
                continue;
            }

            foreach (var i in (int[])[pair.A, pair.B])
            {
                isUsed[i] = true;
                var rest = _parts[open[i].Part]!.Pads.Select(p => p.Index).Where(o => o != open[i].Opening).ToList();
                _parts[open[i].Part] = rest.Count == 0 ? null : Judged(rest);
            }

            var both = new List<int> { open[pair.A].Opening, open[pair.B].Opening };
            both.Sort();
            _parts.Add(Fill(Judged(both) with { Reference = rows[r].Reference }, rows[r], fit));
            taken[r] = true;
        }

        Recount();
    }

    private static (int A, int B)? MirroredPair(PointIndex index, List<(int Opening, int Part, Pad Pad)> open, bool[] isUsed, Point2 at)
    {
        (int A, int B)? best = null;
        var nearest = double.PositiveInfinity;
        foreach (var i in index.Within(at, 4))
        {
            var pad = open[i].Pad;
            var distance = Point2.Distance(pad.At, at);
            foreach (var j in distance < nearest && !isUsed[i] ? index.Within(at + (at - pad.At), 0.12) : [])
            {
                if (j != i && !isUsed[j] && pad.IsCongruentTo(open[j].Pad, 2) && pad.IsParallelTo(open[j].Pad))
                {
                    (best, nearest) = ((i, j), distance);
                }
            }
        }

        return best;
    }

    private int Opposite(PointIndex index, int[] open, int half, Point2 at)
    {
        foreach (var j in index.Within(at, 0.15))
        {
            if (j != half && _parts[open[j]] is { } other && other.Pads.Length == _parts[open[half]]!.Pads.Length)
            {
                return j;
            }
        }

        return -1;
    }

    private BoardPart Fill(BoardPart part, PlacedPart row, PlacementFit fit)
    {
        if ((part.Value is not null && row.Value is not null && part.Value != row.Value)
            || (part.Package is not null && row.Package is not null && part.Package != row.Package))
        {
            _findings.Disagree(row, part);
        }

        var isFirst = part.Value is null && part.Package is null;
        var filled = part with
        {
            Value = part.Value ?? row.Value,
            Package = part.Package ?? row.Package,
            RotationDeg = isFirst && row.RotationDeg is { } turn ? Turned(turn, fit) : part.RotationDeg,
        };
        return filled.Package is { } package ? WithPackage(filled, package, row) : filled;
    }

    private static double Turned(double turn, PlacementFit fit)
    {
        var turned = Math.IEEERemainder(fit.TurnDeg + (fit.IsMirrored ? 180 - turn : turn), 360);
        return Math.Round(turned <= -180 ? turned + 360 : turned, 4) + 0.0;
    }

    // The package's name settles a doubt of geometry; where geometry is sure and the name says otherwise, a person should look.
    private BoardPart WithPackage(BoardPart part, string package, PlacedPart row)
    {
        var sizes = PackageWords.SizesIn(package);
        if (part.SizeImperial is { } imperial && sizes.Count > 0)
        {
            if (!PackageWords.MayBe(sizes, imperial, part.SizeMetric!))
            {
                _findings.Package(row, part, package);
                return part;
            }

            return part with { Confidence = Math.Max(part.Confidence, 0.97), Why = $"{part.Why}; its package says so" };
        }

        if (PackageWords.ClassOf(package) is not { } kind)
        {
            return part;
        }

        if (kind == part.Class)
        {
            return part with { Confidence = Math.Max(part.Confidence, 0.95), Why = $"{part.Why}; its package says so" };
        }

        if (part.Confidence >= BoardPart.SureFrom)
        {
            // Some kinds are drawn alike, and names of packages are loose about them.
            if (part.Class is PartClass.Chip != kind is PartClass.Chip)
            {
                _findings.Package(row, part, package);
            }

            return part;
        }

        var isPossible = kind == PartClass.Chip ? part.Pads.Length == 2 : part.Pads.Length > 2;
        return isPossible ? part with { Class = kind, Confidence = 0.85, Why = $"package {package}; {part.Why}" } : part;
    }

    private double Reach(BoardPart part)
    {
        var box = Bounds2.Empty;
        foreach (var pad in part.Pads)
        {
            box = Bounds2.Union(box, _paste.Openings[pad.Index].Shape.Bounds);
        }

        return Math.Sqrt((box.Width * box.Width) + (box.Height * box.Height)) / 2;
    }
}

/// <summary>Finds the opening that a place lies in.</summary>
internal sealed class OpeningFinder
{
    private const double CellMm = 2;

    private readonly Dictionary<(int, int), List<int>> _cells = [];
    private readonly PasteLayer _paste;

    public OpeningFinder(PasteLayer paste)
    {
        _paste = paste;
        for (var i = 0; i < paste.Openings.Length; i++)
        {
            var box = paste.Openings[i].Shape.Bounds;
            for (var x = Cell(box.MinX); x <= Cell(box.MaxX); x++)
            {
                for (var y = Cell(box.MinY); y <= Cell(box.MaxY); y++)
                {
                    if (!_cells.TryGetValue((x, y), out var list))
                    {
                        _cells.Add((x, y), list = []);
                    }

                    list.Add(i);
                }
            }
        }
    }

    /// <summary>Its index; -1 when the place is in none.</summary>
    public int At(Point2 place)
    {
        if (_cells.TryGetValue((Cell(place.X), Cell(place.Y)), out var list))
        {
            foreach (var i in list)
            {
                if (_paste.Openings[i].Shape.Bounds.Contains(place) && _paste.Openings[i].Shape.Contains(place))
                {
                    return i;
                }
            }
        }

        return -1;
    }

    private static int Cell(double v) => (int)Math.Clamp(Math.Floor(v / CellMm), -1e9, 1e9);
}
