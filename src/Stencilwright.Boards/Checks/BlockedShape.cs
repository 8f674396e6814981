using Stencilwright.Geometry;

namespace Stencilwright.Boards.Checks;

/// <summary>How much of a window a shape covers.</summary>
internal enum WindowCover
{
    None,
    All,
    Part,
}

/// <summary>A shape of many segments, such as a pour, from which the part near a small window is taken quickly.</summary>
/// <remarks>
/// Segments that lie wholly to one side of the window (left, right, below or above) cannot enter it, and neither can the
/// straight line from the first point of such a run to its last: the half plane is convex. Replacing the run by that line
/// leaves every winding number within the window as it was. Runs of segments are skipped in blocks with one box each.
/// </remarks>
internal sealed class BlockedShape
{
    private const int BlockSize = 32;

    private readonly (Contour Path, Bounds2[] Blocks)[] _contours;

    public BlockedShape(Region shape)
    {
        _contours = new (Contour, Bounds2[])[shape.Contours.Length];
        for (var c = 0; c < _contours.Length; c++)
        {
            var path = shape.Contours[c];
            var blocks = new Bounds2[(path.Count + BlockSize - 1) / BlockSize];
            Array.Fill(blocks, Bounds2.Empty);
            for (var i = 0; i < path.Count; i++)
            {
                blocks[i / BlockSize] = Bounds2.Union(blocks[i / BlockSize], path.SegmentAt(i).Bounds);
            }

            _contours[c] = (path, blocks);
        }
    }

    /// <summary>Tells how the shape covers a window and, where its boundary may cross it, gives contours that agree with the shape inside the window.</summary>
    /// <param name="window">Not empty.</param>
    /// <param name="part">Outside the window its winding numbers mean nothing.</param>
    public WindowCover Cut(Bounds2 window, out Region part)
    {
        var kept = new List<Contour>();
        var (near, winding) = (false, 0);
        foreach (var (path, blocks) in _contours)
        {
            if (SideOf(path.Bounds, window) != 0)
            {
                continue;
            }

            var cutter = new Cutter(path, blocks, window);
            var shortened = cutter.Run();
            near |= cutter.IsNear;
            if (shortened is null)
            {
                continue;
            }

            winding += cutter.IsNear ? 0 : Math.Sign(shortened.WindingNumber(window.Center));
            if (cutter.IsNear || shortened.WindingNumber(window.Center) != 0)
            {
                kept.Add(shortened);
            }
        }

        part = near ? new Region([.. kept]) : Region.Empty;
        return near ? WindowCover.Part : winding > 0 ? WindowCover.All : WindowCover.None;
    }

    // One bit for each side on which a box lies wholly; 0 when it may touch the window.
    private static int SideOf(Bounds2 box, Bounds2 window) =>
        (box.MaxX < window.MinX ? 1 : 0) | (box.MinX > window.MaxX ? 2 : 0) | (box.MaxY < window.MinY ? 4 : 0) | (box.MinY > window.MaxY ? 8 : 0);

    private sealed class Cutter(Contour path, Bounds2[] blocks, Bounds2 window)
    {
        private readonly List<PathVertex> _vertices = [];
        private PathVertex _runStart;
        private int _runSides;

        public bool IsNear { get; private set; }

        public Contour? Run()
        {
            var vertices = path.Vertices;
            for (var block = 0; block < blocks.Length; block++)
            {
                var (from, to) = (block * BlockSize, Math.Min((block + 1) * BlockSize, path.Count));
                if (SideOf(blocks[block], window) is not 0 and var sides)
                {
                    Far(vertices[from], sides);
                    continue;
                }

                for (var i = from; i < to; i++)
                {
                    var segment = path.SegmentAt(i);
                    if (SideOf(segment.Bounds, window) is not 0 and var side)
                    {
                        Far(vertices[i], side);
                    }
                    else
                    {
                        Near(vertices[i]);
                    }
                }
            }

            Flush();
            return _vertices.Count < 2 ? null : new Contour([.. _vertices]);
        }

        private void Far(PathVertex start, int sides)
        {
            if ((_runSides & sides) != 0)
            {
                _runSides &= sides;
                return;
            }

            Flush();
            _runStart = start with { Bulge = 0 };
            _runSides = sides;
        }

        private void Near(PathVertex start)
        {
            IsNear = true;
            Flush();
            _vertices.Add(start);
        }

        private void Flush()
        {
            if (_runSides != 0)
            {
                _vertices.Add(_runStart);
                _runSides = 0;
            }
        }
    }
}
