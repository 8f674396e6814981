using System.Collections.Concurrent;
using Stencilwright.Design.Printing;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>Remembers how openings were cut: most of a sheet have the same few shapes, and a program that stays open plans the same sheet again after a small change.</summary>
/// <remarks>
/// Only the very same shape for the very same beam is taken from it, wherever on the sheet it lies: openings are cut as if
/// they lay at the origin (<see cref="PlacedShape"/>) and moved to their places, whether remembered or not, so that a plan is
/// the same with and without. What was not asked for in the last few plans is forgotten. May be used by several threads.
/// </remarks>
public sealed class CutMemory
{
    // A change, the one before and their undoing.
    private const int Kept = 6;

    private readonly ConcurrentDictionary<Key, Entry> _known = new();
    private int _round;

    /// <summary>How many shapes are remembered.</summary>
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
        var placed = PlacedShape.Of(wanted);
        var key = new Key(placed.Shape, cutter.KerfXMm, cutter.KerfYMm, forArea);
        if (_known.TryGetValue(key, out var entry))
        {
            entry.Round = _round;
        }
        else
        {
            _known[key] = entry = new Entry(CutResult.Of(placed.Shape, cutter, forArea)) { Round = _round };
        }

        return entry.Result.MovedBy(placed.At);
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

    public CutResult MovedBy(Vector2 by)
    {
        var move = Affine2.Translation(by.X, by.Y);
        // Without a beam what is cut is what opens.
        var inset = Cut.Inset.Transform(move);
        return this with
        {
            Cut = Cut with
            {
                Inset = inset,
                Opened = ReferenceEquals(Cut.Inset, Cut.Opened) ? inset : Cut.Opened.Transform(move),
                Lines = Cut.Lines.IsEmpty ? Cut.Lines : [.. Cut.Lines.Select(line => Moved(line, by))],
                Narrow = Cut.Narrow.IsEmpty ? Cut.Narrow : [.. Cut.Narrow.Select(n => (n.Kind, n.At + by))],
            },
        };
    }

    private static OpenPath Moved(OpenPath path, Vector2 by)
    {
        var vertices = path.Vertices.ToArray();
        for (var i = 0; i < vertices.Length; i++)
        {
            vertices[i] = vertices[i] with { X = vertices[i].X + by.X, Y = vertices[i].Y + by.Y };
        }

        return new OpenPath(vertices);
    }
}
