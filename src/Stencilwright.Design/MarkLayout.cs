using System.Collections.Immutable;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Design;

/// <summary>Places title, side, face and registration marks on one sheet, clear of everything that is cut.</summary>
internal sealed class MarkLayout
{
    /// <summary>Film left between a mark and an opening.</summary>
    public const double ClearanceMm = 1.5;

    private const double TickMm = 3;
    private const double RegistrationRadiusMm = 1.5;

    private readonly BlankSize _blank;
    private readonly bool _textMirrored;
    private readonly string _sheet;
    private readonly FreeSpace _space;
    private readonly ImmutableArray<ScoreMark>.Builder _marks = ImmutableArray.CreateBuilder<ScoreMark>();
    private readonly List<Finding> _findings;

    /// <param name="blank">The blank.</param>
    /// <param name="sheet">Its name in findings: film or frame.</param>
    /// <param name="textMirrored">Write so that the text reads right from the sheet's other face.</param>
    /// <param name="room">Where marks may lie.</param>
    /// <param name="findings">Takes a finding for each mark that found no room.</param>
    public MarkLayout(BlankSize blank, string sheet, bool textMirrored, Bounds2 room, List<Finding> findings)
    {
        _blank = blank;
        _sheet = sheet;
        _textMirrored = textMirrored;
        _space = new FreeSpace(room);
        _findings = findings;
    }

    public ImmutableArray<ScoreMark> Marks => _marks.ToImmutable();

    /// <summary>Keeps marks away from a box that is cut.</summary>
    public void Avoid(Bounds2 box) => _space.Take(box.Inflate(ClearanceMm));

    /// <summary>Corner ticks of a box, arms inward or outward, where they are free and on the blank.</summary>
    public void AddCornerTicks(Bounds2 box, bool inward)
    {
        var strokes = ImmutableArray.CreateBuilder<OpenPath>();
        var arm = inward ? TickMm : -TickMm;
        foreach (var (x, y, sx, sy) in (ReadOnlySpan<(double, double, int, int)>)
            [(box.MinX, box.MinY, 1, 1), (box.MaxX, box.MinY, -1, 1), (box.MaxX, box.MaxY, -1, -1), (box.MinX, box.MaxY, 1, -1)])
        {
            AddArm(strokes, new(x, y), new(x + (sx * arm), y));
            AddArm(strokes, new(x, y), new(x, y + (sy * arm)));
        }

        if (strokes.Count > 0)
        {
            _marks.Add(new ScoreMark("registration", "", strokes.ToImmutable()));
            foreach (var stroke in strokes)
            {
                _space.Take(BoxOf(stroke).Inflate(0.5));
            }
        }
    }

    /// <summary>
    /// Three crosses in circles near the lower left, the upper left and, pulled in from it, the lower right corner: a
    /// pattern that no turn and no mirroring brings onto itself.
    /// </summary>
    public void AddRegistration()
    {
        var (w, h) = (_blank.WidthMm, _blank.HeightMm);
        var placed = 0;
        foreach (var near in (ReadOnlySpan<Point2>)[new(0, 0), new(0, h), new(w * 0.8, 0)])
        {
            var size = 2 * RegistrationRadiusMm;
            if (_space.FindNear(size, size, near) is { } box)
            {
                _marks.Add(new ScoreMark("registration", "", RegistrationCross(box.Center)));
                _space.Take(box.Inflate(1));
                placed++;
            }
        }

        if (placed < 3)
        {
            _findings.Add(Text.Note("DSN009", string.Create(Text.Invariant,
                $"Only {placed} of 3 registration marks found room on the {_sheet}; line it up by its corners, or take a larger blank.")));
        }
    }

    /// <summary>A line of text near a point of the sheet, as large as there is room for.</summary>
    public void AddText(string kind, string text, Point2 near)
    {
        if (text.Length == 0)
        {
            return;
        }

        foreach (var height in (ReadOnlySpan<double>)[3, 2.5, 2, 1.5, 1.2])
        {
            var (width, tall) = (StrokeFont.WidthMm(text, height), height * 1.5);
            if (_space.FindNear(width, tall, near) is { } box)
            {
                var map = Affine2.Translation(box.MinX, box.MinY + (height * 0.25));
                if (_textMirrored)
                {
                    map = Affine2.Translation(box.MinX + box.MaxX, 0) * Affine2.Scale(-1, 1) * map;
                }

                _marks.Add(new ScoreMark(kind, text, [.. StrokeFont.Strokes(text, height).Select(s => s.Map(map))]));
                _space.Take(box.Inflate(1));
                return;
            }
        }

        _findings.Add(Text.Note("DSN009", string.Create(Text.Invariant,
            $"The {kind} mark \"{text}\" found no room on the {_sheet} at a readable size and is left out; write it on by hand, shorten the title or take a larger blank.")));
    }

    private static ImmutableArray<OpenPath> RegistrationCross(Point2 c)
    {
        const double R = RegistrationRadiusMm;
        const double Circle = R * 0.6;
        return
        [
            new OpenPath([new(c.X - R, c.Y), new(c.X + R, c.Y)]),
            new OpenPath([new(c.X, c.Y - R), new(c.X, c.Y + R)]),
            new OpenPath([new(c.X + Circle, c.Y, 1), new(c.X - Circle, c.Y, 1), new(c.X + Circle, c.Y)]),
        ];
    }

    private static Bounds2 BoxOf(OpenPath stroke)
    {
        var box = Bounds2.Empty;
        foreach (var v in stroke.Vertices)
        {
            box = box.Include(v.Point);
        }

        return box;
    }

    private void AddArm(ImmutableArray<OpenPath>.Builder strokes, Point2 from, Point2 to)
    {
        var stroke = new OpenPath([new(from.X, from.Y), new(to.X, to.Y)]);
        if (_space.IsFree(BoxOf(stroke)))
        {
            strokes.Add(stroke);
        }
    }
}
