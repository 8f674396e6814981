namespace Stencilwright.Cutting;

/// <summary>Nodes waiting to be looked at, first come first served, none twice.</summary>
internal sealed class TourQueue(int count)
{
    private readonly int[] _nodes = new int[count];
    private readonly bool[] _isIn = new bool[count];
    private int _head;
    private int _waiting;

    public void Add(int node)
    {
        if (_isIn[node])
        {
            return;
        }

        _isIn[node] = true;
        var at = _head + _waiting++;
        _nodes[at >= _nodes.Length ? at - _nodes.Length : at] = node;
    }

    public bool TryTake(out int node)
    {
        node = _nodes[_head];
        if (_waiting == 0)
        {
            return false;
        }

        _isIn[node] = false;
        _head = _head + 1 == _nodes.Length ? 0 : _head + 1;
        _waiting--;
        return true;
    }

    public void Clear()
    {
        while (TryTake(out _))
        {
        }
    }
}
