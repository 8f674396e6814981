using System.Runtime.CompilerServices;

namespace Stencilwright.Cutting;

/// <summary>A closed way through nodes as an array with the place of every node; what is done to it can be taken back.</summary>
/// <remarks>Turning a stretch round costs at most half the ring, as the other side can be turned instead (Bentley 1992, from memory).</remarks>
internal sealed class TourRing
{
    private readonly int[] _nodes;
    private readonly int[] _place;
    private (int From, int To)[] _journal = new (int, int)[64];
    private int _entries;

    public TourRing(int[] nodes)
    {
        (_nodes, _place) = (nodes, new int[nodes.Length]);
        Renumber();
    }

    /// <summary>Nodes in the order of the ring.</summary>
    public ReadOnlySpan<int> Nodes => _nodes;

    /// <summary>The node at a place; places beyond the last go on from the first.</summary>
    public int At(int place) => _nodes[Wrap(place)];

    public int PlaceOf(int node) => _place[node];

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public int Next(int node)
    {
        var at = _place[node] + 1;
        return _nodes[at == _nodes.Length ? 0 : at];
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public int Previous(int node)
    {
        var at = _place[node];
        return _nodes[(at == 0 ? _nodes.Length : at) - 1];
    }

    /// <summary>Whether going on from a, one meets b no later than c.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public bool IsBetween(int a, int b, int c)
    {
        var (pa, pb, pc) = (_place[a], _place[b], _place[c]);
        return pa <= pc ? pa <= pb && pb <= pc : pa <= pb || pb <= pc;
    }

    /// <summary>Takes out the legs a-b and c-d and puts in b-c and d-a; d lies on b's side of a-b.</summary>
    public void Exchange(int a, int b, int c, int d)
    {
        if (Next(a) == b && Next(d) == c)
        {
            Turn(_place[b], _place[d]);
        }
        else
        {
            Turn(_place[d], _place[b]);
        }
    }

    /// <summary>Two stretches that follow each other change places, each keeping its direction: from first, from middle, up to last.</summary>
    public void SwapStretches(int first, int middle, int last)
    {
        // The rest of the ring is a third stretch; whichever two swap, the ring is the same. The longest stays.
        var n = _nodes.Length;
        var beyond = last + 1 == n ? 0 : last + 1;
        var (a, b) = (Span(first, middle), Span(middle, beyond));
        var c = n - a - b;
        if (c >= a && c >= b)
        {
            TurnThree(first, middle, beyond);
        }
        else if (a >= b)
        {
            TurnThree(middle, beyond, first);
        }
        else
        {
            TurnThree(beyond, first, middle);
        }
    }

    /// <summary>Stretches that follow each other, of the given lengths, come in the opposite order, each in its direction.</summary>
    public void Mirror(int from, int a, int b, int c)
    {
        // Each first where it stands, then all of them: turning the other side instead would move them.
        var (second, third, last) = (Wrap(from + a), Wrap(from + a + b), Wrap(from + a + b + c - 1));
        Turn(from, Wrap(from + a - 1));
        Turn(second, Wrap(from + a + b - 1));
        Turn(third, last);
        Turn(from, last);
    }

    /// <summary>What was done so far stays.</summary>
    public void Keep() => _entries = 0;

    /// <summary>Takes back all since <see cref="Keep"/>.</summary>
    public void TakeBack()
    {
        while (_entries > 0)
        {
            var (from, to) = _journal[--_entries];
            TurnRaw(from, to);
        }
    }

    /// <summary>Copies the ring as it was at the last <see cref="Keep"/>.</summary>
    public void SaveBefore(int[] nodes)
    {
        var entries = _entries;
        TakeBack();
        _nodes.CopyTo(nodes, 0);
        for (; _entries < entries; _entries++)
        {
            TurnRaw(_journal[_entries].From, _journal[_entries].To);
        }
    }

    /// <summary>Puts the nodes in another order.</summary>
    public void Set(ReadOnlySpan<int> nodes)
    {
        nodes.CopyTo(_nodes);
        Renumber();
    }

    private void Renumber()
    {
        for (var i = 0; i < _nodes.Length; i++)
        {
            _place[_nodes[i]] = i;
        }
    }

    private int Wrap(int place) => place >= _nodes.Length ? place - _nodes.Length : place;

    private int Span(int from, int to) => to >= from ? to - from : to - from + _nodes.Length;

    private void TurnThree(int first, int middle, int beyond)
    {
        var n = _nodes.Length;
        var last = beyond == 0 ? n - 1 : beyond - 1;
        Turn(first, middle == 0 ? n - 1 : middle - 1);
        Turn(middle, last);
        Turn(first, last);
    }

    private void Turn(int from, int to)
    {
        if (_entries == _journal.Length)
        {
            Array.Resize(ref _journal, 2 * _entries);
        }

        _journal[_entries++] = (from, to);
        TurnRaw(from, to);
    }

    private void TurnRaw(int from, int to)
    {
        var (nodes, place) = (_nodes, _place);
        var n = nodes.Length;
        var length = to - from;
        length = length < 0 ? length + n + 1 : length + 1;
        if (2 * length > n)
        {
            (from, to) = (to + 1 == n ? 0 : to + 1, from == 0 ? n - 1 : from - 1);
            length = n - length;
        }

        for (var k = length / 2; k > 0; k--)
        {
            var (a, b) = (nodes[from], nodes[to]);
            (nodes[from], nodes[to]) = (b, a);
            (place[b], place[a]) = (from, to);
            from = from + 1 == n ? 0 : from + 1;
            to = to == 0 ? n - 1 : to - 1;
        }
    }
}
