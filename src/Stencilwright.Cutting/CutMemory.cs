using System.Collections.Concurrent;
using Stencilwright.Design.Printing;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>Remembers how openings were cut, for a program that plans the same sheet again after a small change.</summary>
/// <remarks>
/// Only the very same shape for the very same beam is taken from it, and cutting is a pure function of these: a plan is the
/// same with and without. What was not asked for in the last few plans is forgotten. May be used by several threads.
/// </remarks>
public sealed class CutMemory
{
    // A change, the one before and their undoing.
    private const int Kept = 6;

    private readonly ConcurrentDictionary<Key, Entry> _known = new();
    private int _round;

    /// <summary>How many openings are remembered.</summary>
    public int Count => _known.Count;

    /// <summary>Begins another plan.</summary>
    public void Begin()
    {
        var round = Interlocked.Increment(ref _round);
        foreach (var (key, entry) in _known)
        {
            if (round - entry.Round > Kept)
            {
                _known.TryRemove(key, out _);
            }
        }
    }

    internal CutResult Of(Region wanted, OpeningCutter cutter, bool forArea)
    {
        var key = new Key(wanted, cutter.KerfXMm, cutter.KerfYMm, forArea);
        if (_known.TryGetValue(key, out var entry))
        {
            entry.Round = _round;
            return entry.Result;
        }

        var result = CutResult.Of(wanted, cutter, forArea);
        _known[key] = new Entry(result) { Round = _round };
        return result;
    }

    private sealed class Entry(CutResult result)
    {
        public CutResult Result { get; } = result;

        public int Round { get; set; }
    }

    // Shapes are compared number by number.
    private readonly struct Key(Region wanted, double kerfXMm, double kerfYMm, bool forArea) : IEquatable<Key>
    {
        private readonly Region _wanted = wanted;
        private readonly (double, double, bool) _beam = (kerfXMm, kerfYMm, forArea);
        private readonly int _hash = HashOf(wanted, kerfXMm, kerfYMm, forArea);

        public bool Equals(Key other)
        {
            if (_hash != other._hash || _beam != other._beam || _wanted.Contours.Length != other._wanted.Contours.Length)
            {
                return false;
            }

            for (var i = 0; i < _wanted.Contours.Length; i++)
            {
                if (!_wanted.Contours[i].Vertices.SequenceEqual(other._wanted.Contours[i].Vertices))
                {
                    return false;
                }
            }

            return true;
        }

        public override bool Equals(object? obj) => obj is Key other && Equals(other);

        public override int GetHashCode() => _hash;

        private static int HashOf(Region wanted, double kerfXMm, double kerfYMm, bool forArea)
        {
            var hash = new HashCode();
            hash.Add(kerfXMm);
            hash.Add(kerfYMm);
            hash.Add(forArea);
            foreach (var contour in wanted.Contours)
            {
                foreach (var vertex in contour.Vertices)
                {
                    hash.Add(vertex.X);
                    hash.Add(vertex.Y);
                    hash.Add(vertex.Bulge);
                }
            }

            return hash.ToHashCode();
        }
    }
}

/// <summary>An opening's paths, and the size of what they open.</summary>
/// <param name="Cut">Paths and shape.</param>
/// <param name="Form">Size as far as printing goes.</param>
internal sealed record CutResult(CutOpening Cut, OpeningForm Form)
{
    public static CutResult Of(Region wanted, OpeningCutter cutter, bool forArea)
    {
        var cut = forArea ? cutter.CutForArea(wanted) : cutter.Cut(wanted);
        return new(cut, ShapeMeasure.FormOf(cut.Opened));
    }
}
