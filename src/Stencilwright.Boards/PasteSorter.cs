using System.Collections.Immutable;
using Stencilwright.Artwork;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Boards;

/// <summary>Sorts the islands of a paste layer into openings and what is set aside: frames, writing, the edge itself.</summary>
/// <remarks>Nothing is dropped silently: every reason gives one finding with count, area and the place of the first.</remarks>
public static class PasteSorter
{
    /// <summary>Sorts a layer.</summary>
    /// <param name="paste">The paste layer.</param>
    /// <param name="outline">The board's edge, or null when it is not known: nothing is then taken to lie outside.</param>
    public static PasteLayer Sort(LayerImage paste, BoardOutline? outline)
    {
        ArgumentNullException.ThrowIfNull(paste);
        return new Sorting(paste, outline).Run();
    }

    private sealed class Sorting
    {
        private readonly LayerImage _paste;
        private readonly BoardEdge? _edge;
        private readonly List<SortedIsland> _islands = [];
        private readonly List<Finding> _findings = [];
        private int _cutFree;

        public Sorting(LayerImage paste, BoardOutline? outline)
        {
            _paste = paste;
            _edge = outline is null || outline.Shape.IsEmpty ? null : new BoardEdge(outline.Shape);
        }

        public PasteLayer Run()
        {
            var flat = 0;
            foreach (var island in _paste.Islands)
            {
                if (island.Shape.IsEmpty || !(island.Shape.AreaMm2 > 1e-9))
                {
                    flat++;
                    continue;
                }

                AddIsland(island);
            }

            WritingTest.Mark(_paste, _islands);
            PasteFindings.Describe(_paste, _islands, flat + EmptyObjects(), _cutFree, _findings);
            return new PasteLayer
            {
                Openings = [.. _islands.Where(i => i.Reason is null).Select(Opening)],
                SetAside = [.. _islands.Where(i => i.Reason is not null).Select(i => new SetAsideIsland(i.Shape, PlaceOf(i), i.Reason!.Value))],
                Findings = [.. _findings],
            };
        }

        private void AddIsland(ImageIsland island)
        {
            var alongEdge = 0;
            if (_edge is not null)
            {
                foreach (var index in island.Objects)
                {
                    alongEdge += IsAlongEdge(_paste.Objects[index]) ? 1 : 0;
                }
            }

            if (alongEdge == 0)
            {
                Place(island.Shape, island.Objects);
            }
            else if (alongEdge == island.Objects.Length)
            {
                _islands.Add(new SortedIsland(island.Shape, island.Objects) { Reason = SetAsideReason.OutlineStroke });
            }
            else
            {
                CutFree(island);
            }
        }

        // Pads that touch the edge's stroke are one island with it: taken by themselves they are pads again.
        private void CutFree(ImageIsland island)
        {
            var (pads, strokes) = (new List<int>(), new List<int>());
            foreach (var index in island.Objects)
            {
                (IsAlongEdge(_paste.Objects[index]) ? strokes : pads).Add(index);
            }

            var shapes = pads.Select(i => _paste.Objects[i].Shape).ToArray();
            var edge = RegionBoolean.Union([.. strokes.Select(i => _paste.Objects[i].Shape)]);
            _islands.Add(new SortedIsland(edge, [.. strokes]) { Reason = SetAsideReason.OutlineStroke });
            foreach (var part in RegionBoolean.UnionIslands(shapes))
            {
                foreach (var shape in RegionBoolean.Islands(RegionBoolean.Intersection(part.Shape, island.Shape)))
                {
                    _cutFree++;
                    Place(shape, [.. part.Members.Select(m => pads[m])]);
                }
            }
        }

        private void Place(Region shape, ImmutableArray<int> objects)
        {
            var island = new SortedIsland(shape, objects);
            if (_edge is not null)
            {
                var side = _edge.SideOf(shape);
                island.IsPartlyOutside = side == EdgeSide.Across;
                if (side == EdgeSide.Outside)
                {
                    island.Reason = SetAsideReason.OutsideOutline;
                }
                else
                {
                    island.IsOverCutout = _edge.IsOverCutout(shape);
                }
            }

            _islands.Add(island);
        }

        private bool IsAlongEdge(PaintedObject painted) =>
            painted is { Kind: PaintKind.Stroke, CenterLine: { } line } && _edge!.RunsAlong(line);

        private int EmptyObjects()
        {
            var count = 0;
            foreach (var painted in _paste.Objects)
            {
                count += painted.IsDark && painted.Shape.IsEmpty ? 1 : 0;
            }

            return count;
        }

        private PasteOpening Opening(SortedIsland island)
        {
            PaintedObject? named = null;
            foreach (var index in island.Objects)
            {
                if (_paste.Objects[index].Component is not null)
                {
                    named = _paste.Objects[index];
                    break;
                }
            }

            return new PasteOpening
            {
                Shape = island.Shape,
                Place = PlaceOf(island),
                Component = named?.Component,
                Pin = named?.Pin,
                RotationDeg = LongSide.DirectionDeg(island.Shape),
            };
        }

        private SourcePlace PlaceOf(SortedIsland island) => PasteFindings.PlaceOf(_paste, island);
    }
}

/// <summary>An island on its way to become an opening, or not.</summary>
internal sealed class SortedIsland(Region shape, ImmutableArray<int> objects)
{
    public Region Shape => shape;

    public ImmutableArray<int> Objects => objects;

    public SetAsideReason? Reason { get; set; }

    public bool IsPartlyOutside { get; set; }

    public bool IsOverCutout { get; set; }
}
