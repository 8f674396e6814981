using System.Collections.Immutable;
using System.Text;
using Stencilwright.Boards;
using Stencilwright.Boards.Parts;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Xunit;

namespace Stencilwright.Design.Tests.Rules;

/// <summary>A small board put together from boxes and circles, as a reader and a part finder would hand it over.</summary>
internal sealed class Sketch
{
    private readonly List<PasteOpening> _openings = [];
    private readonly List<BoardPart> _parts = [];

    public ImmutableArray<HoleCircle> Holes { get; set; } = [];

    public ImmutableArray<Region?> Copper { get; set; } = [];

    public double FilmThicknessMm { get; set; } = 0.1016;

    /// <summary>Adds an opening and returns its index; its long side is turned by an angle about its middle.</summary>
    public int Add(Region shape, Point2 at, double turnDeg = 0, string? component = null)
    {
        var map = Affine2.Translation(at.X, at.Y) * Affine2.RotationDegrees(turnDeg);
        var isRound = shape.Contours.Length == 1 && shape.Contours[0].Count == 2;
        _openings.Add(new PasteOpening { Shape = shape.Transform(map), Place = new("paste.gtp", _openings.Count + 1, 1), RotationDeg = isRound ? 0 : Folded(turnDeg), Component = component });
        return _openings.Count - 1;
    }

    /// <summary>A rectangle of the length along x before it is turned.</summary>
    public int Box(double length, double width, Point2 at, double turnDeg = 0, double radius = 0) => Add(BoxOf(length, width, radius), at, turnDeg);

    public int Disc(double diameter, Point2 at) => Add(Region.Of(Contour.Circle(default, diameter / 2)), at);

    public BoardPart Part(PartClass kind, Point2 center, PadFunction function, IEnumerable<int> openings, double? pitch = null, string? size = null, double confidence = 1)
    {
        var part = new BoardPart
        {
            Class = kind,
            Center = center,
            PitchMm = pitch,
            SizeImperial = size,
            Confidence = confidence,
            Pads = [.. openings.Select(i => new PartPad(i, function, null))],
            Why = "sketched",
        };
        _parts.Add(part);
        return part;
    }

    /// <summary>Two equal pads, the part's middle at a point; the pads lie apart along x before the part is turned.</summary>
    public (int First, int Second) Chip(double along, double across, double apart, Point2 center, double turnDeg, string? size, double radius = 0)
    {
        var (sin, cos) = Affine2.ExactSinCosDegrees(turnDeg);
        var arm = new Vector2(cos, sin) * (apart / 2);
        // A pad's own long side may lie across the chip.
        var pads = along >= across
            ? (Box(along, across, center - arm, turnDeg, radius), Box(along, across, center + arm, turnDeg, radius))
            : (Box(across, along, center - arm, turnDeg + 90, radius), Box(across, along, center + arm, turnDeg + 90, radius));
        Part(PartClass.Chip, center, PadFunction.Terminal, [pads.Item1, pads.Item2], size: size);
        return pads;
    }

    public ShapedLayer Shape(RuleSet rules) => ApertureShaper.Shape(rules, Context());

    public ShapingContext Context() => new()
    {
        Side = BoardSide.Top,
        Paste = new PasteLayer { Openings = [.. _openings], SetAside = [], Findings = [] },
        Parts = new PartList([.. _parts], []),
        Holes = Holes,
        Copper = Copper,
        FilmThicknessMm = FilmThicknessMm,
    };

    /// <summary>The same board moved, turned by an angle and mirrored in x first if asked.</summary>
    public Sketch Moved(double turnDeg, bool mirrored, Vector2 by)
    {
        var map = MapOf(turnDeg, mirrored, by);
        var moved = new Sketch { FilmThicknessMm = FilmThicknessMm, Holes = [.. Holes.Select(h => h with { Center = map.Apply(h.Center) })], Copper = [.. Copper.Select(c => c?.Transform(map))] };
        moved._openings.AddRange(_openings.Select(o => o with { Shape = o.Shape.Transform(map), RotationDeg = Folded((mirrored ? -o.RotationDeg : o.RotationDeg) + turnDeg) }));
        moved._parts.AddRange(_parts.Select(p => p with { Center = map.Apply(p.Center) }));
        return moved;
    }

    public static Affine2 MapOf(double turnDeg, bool mirrored, Vector2 by) =>
        Affine2.Translation(by.X, by.Y) * Affine2.RotationDegrees(turnDeg) * (mirrored ? Affine2.Scale(-1, 1) : Affine2.Identity);

    public static Region BoxOf(double length, double width, double radius = 0) =>
        Region.Of(Outlines.Rounded(new Bounds2(-length / 2, -width / 2, length / 2, width / 2), radius));

    /// <summary>Rules from text; fails when there is anything to say against it.</summary>
    public static RuleSet Rules(string toml)
    {
        var outcome = Read(toml);
        Assert.Empty(outcome.Diagnostics.Select(d => d.ToString()));
        return outcome.Value!;
    }

    public static Outcome<RuleSet> Read(string toml) => RuleSetReader.Read(new SourceText("rules.toml", Encoding.UTF8.GetBytes(toml)));

    /// <summary>One rule for every opening.</summary>
    public static RuleSet Rule(string change, string match = "", string more = "") =>
        Rules($"[[rule]]\nname = \"it\"\nsource = \"test\"\n{more}\n[rule.match]\n{match}\n[rule.change]\n{change}\n");

    public static double AreaRatio(Region shape, double filmThicknessMm) => shape.AreaMm2 / (shape.PerimeterMm * filmThicknessMm);

    private static double Folded(double degrees)
    {
        var folded = Math.IEEERemainder(degrees, 180);
        return folded <= -90 ? folded + 180 : folded;
    }
}
