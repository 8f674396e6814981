using Stencilwright.Geometry;

namespace Stencilwright.Design.Rules;

/// <summary>An opening to be cut while neighbours are compared.</summary>
internal sealed class NeighbourEntry(int opening, LocalOpening form, ApertureRule? rule, Region design)
{
    private Bounds2? _before;
    private bool _isSpent;

    /// <summary>Index of the opening in the artwork; panes of one opening share it and are not compared.</summary>
    public int Opening => opening;

    /// <summary>Film wanted to every neighbour; 0 when the rule asks for none.</summary>
    public double WebMm => rule?.Change.NeighbourWebMm ?? 0;

    /// <summary>As it stands now.</summary>
    public Region Design { get; private set; } = design;

    /// <summary>Its box.</summary>
    public Bounds2 Box { get; private set; } = design.Bounds;

    /// <summary>True when it has given way.</summary>
    public bool HasMoved { get; private set; }

    /// <summary>True when it asks for distance and can still lose something.</summary>
    public bool CanMove => WebMm > 0 && !_isSpent;

    private Bounds2 Wanted { get; set; } = new(0, 0, 0, 0);

    /// <summary>Asks for an edge to be moved back.</summary>
    /// <param name="towards">Direction of the neighbour, board frame.</param>
    /// <param name="gap">From this opening's nearest point to the neighbour's; zero when they overlap.</param>
    /// <param name="webMm">Film wanted.</param>
    /// <param name="share">This opening's share of what is missing.</param>
    /// <param name="overlapMm">How far they overlap, when they do.</param>
    public void Ask(Vector2 towards, Vector2 gap, double webMm, double share, double overlapMm)
    {
        var inverse = form.ToBoard.Inverse();
        var (d, g) = (inverse.Apply(towards), inverse.Apply(gap));
        var isX = Math.Abs(d.X) >= Math.Abs(d.Y);
        var (along, across) = isX ? (Math.Abs(g.X), Math.Abs(g.Y)) : (Math.Abs(g.Y), Math.Abs(g.X));
        var missing = share * (Math.Sqrt(Math.Max(0, (webMm * webMm) - (across * across))) - along + overlapMm);
        var side = (isX, isX ? d.X > 0 : d.Y > 0);
        Wanted = side switch
        {
            (true, true) => Wanted with { MaxX = Math.Max(Wanted.MaxX, missing) },
            (true, false) => Wanted with { MinX = Math.Max(Wanted.MinX, missing) },
            (false, true) => Wanted with { MaxY = Math.Max(Wanted.MaxY, missing) },
            _ => Wanted with { MinY = Math.Max(Wanted.MinY, missing) },
        };
    }

    /// <summary>Moves the edges back as far as the rule allows.</summary>
    public void GiveWay(double filmThicknessMm)
    {
        var wanted = Wanted;
        Wanted = new(0, 0, 0, 0);
        if (wanted is { MinX: <= 0, MinY: <= 0, MaxX: <= 0, MaxY: <= 0 })
        {
            return;
        }

        var local = Design.Transform(form.ToBoard.Inverse());
        var box = local.Bounds;
        var before = _before ??= box;
        var loss = rule!.Change.NeighbourLossPercent / 100;
        var (fx, fy) = (Allowed(before.Width, box.Width, wanted.MinX + wanted.MaxX, loss), Allowed(before.Height, box.Height, wanted.MinY + wanted.MaxY, loss));
        _isSpent = fx < 1 || fy < 1;
        var floorMm = Math.Min(form.AreaRatioMm, rule.KeepAreaRatio * filmThicknessMm) - 1e-9;
        for (var share = 1.0; share > 0.1; share -= 0.125)
        {
            var room = new Bounds2(
                box.MinX + (share * fx * wanted.MinX), box.MinY + (share * fy * wanted.MinY), box.MaxX - (share * fx * wanted.MaxX), box.MaxY - (share * fy * wanted.MaxY));
            var cut = RegionBoolean.Intersection(local, Region.Of(Contour.Rectangle(room)));
            if (!cut.IsEmpty && cut.AreaMm2 >= floorMm * cut.PerimeterMm)
            {
                Design = cut.Transform(form.ToBoard);
                Box = Design.Bounds;
                HasMoved = true;
                _isSpent |= share < 1;
                return;
            }
        }

        _isSpent = true;
    }

    private static double Allowed(double beforeMm, double nowMm, double wantedMm, double loss)
    {
        var left = Math.Max(0, (beforeMm * loss) - (beforeMm - nowMm));
        return wantedMm <= left ? 1 : left / wantedMm;
    }
}

/// <summary>Moves facing edges of neighbouring openings apart where their rules ask for it.</summary>
internal static class NeighbourLimit
{
    // Moving one pair apart can only help the next; round shapes need a second or third look, since edges move along axes.
    private const int Passes = 3;

    private const double SlackMm = 1e-6;

    /// <summary>Moves edges back; returns the pairs that stay too close.</summary>
    public static List<(int A, int B, double GapMm)> Apply(IReadOnlyList<NeighbourEntry> entries, double filmThicknessMm)
    {
        var widest = 0.0;
        foreach (var entry in entries)
        {
            widest = Math.Max(widest, entry.WebMm);
        }

        var close = new List<(int A, int B, double GapMm)>();
        if (widest <= 0)
        {
            return close;
        }

        for (var pass = 0; pass <= Passes; pass++)
        {
            close = FindClose(entries, widest, ask: pass < Passes);
            if (close.Count == 0)
            {
                break;
            }

            foreach (var entry in entries)
            {
                entry.GiveWay(filmThicknessMm);
            }
        }

        return close;
    }

    private static List<(int A, int B, double GapMm)> FindClose(IReadOnlyList<NeighbourEntry> entries, double widestMm, bool ask)
    {
        // Swept from left to right: only boxes that begin before this one's reach ends can be near.
        var order = new int[entries.Count];
        var starts = new double[entries.Count];
        for (var i = 0; i < order.Length; i++)
        {
            (order[i], starts[i]) = (i, entries[i].Box.MinX);
        }

        Array.Sort(starts, order);
        var boxes = new Bounds2[order.Length];
        for (var i = 0; i < order.Length; i++)
        {
            boxes[i] = entries[order[i]].Box;
        }

        var close = new List<(int A, int B, double GapMm)>();
        for (var i = 0; i < order.Length; i++)
        {
            var a = entries[order[i]];
            var (last, low, high) = (boxes[i].MaxX + widestMm, boxes[i].MinY - widestMm, boxes[i].MaxY + widestMm);
            for (var j = i + 1; j < starts.Length && starts[j] <= last; j++)
            {
                if (boxes[j].MinY > high || boxes[j].MaxY < low)
                {
                    continue;
                }

                var b = entries[order[j]];
                var web = Math.Max(a.WebMm, b.WebMm);
                if (a.Opening != b.Opening && web > 0 && a.Box.Inflate(web).Overlaps(b.Box)
                    && RegionDistance.Between(a.Design, b.Design) is var pair && pair.DistanceMm < web - SlackMm)
                {
                    close.Add((order[i], order[j], pair.DistanceMm));
                    if (ask)
                    {
                        Ask(a, b, pair, web);
                    }
                }
            }
        }

        return close;
    }

    private static void Ask(NeighbourEntry a, NeighbourEntry b, NearestPair pair, double webMm)
    {
        // Evenly between the two; a neighbour whose rule asks for nothing does not move, nor one that has lost all it may.
        var (shareA, shareB) = (a.CanMove, b.CanMove) switch { (true, true) => (0.5, 0.5), (true, false) => (1.0, 0.0), (false, true) => (0.0, 1.0), _ => (0.0, 0.0) };
        var gap = pair.OnB - pair.OnA;
        var overlap = 0.0;
        var towards = gap;
        if (pair.DistanceMm <= SlackMm)
        {
            towards = b.Box.Center - a.Box.Center;
            var (x, y) = (Math.Min(a.Box.MaxX, b.Box.MaxX) - Math.Max(a.Box.MinX, b.Box.MinX), Math.Min(a.Box.MaxY, b.Box.MaxY) - Math.Max(a.Box.MinY, b.Box.MinY));
            overlap = Math.Max(0, Math.Min(x, y));
        }

        if (shareA > 0)
        {
            a.Ask(towards, gap, webMm, shareA, overlap);
        }

        if (shareB > 0)
        {
            b.Ask(-towards, -gap, webMm, shareB, overlap);
        }
    }
}
