using System.Collections.Immutable;
using Stencilwright.Cutting.Heat;
using Stencilwright.Design.Printing;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>What a path is for.</summary>
public enum CutKind
{
    /// <summary>A mark that does not go through.</summary>
    Score,

    /// <summary>Closed cut of an opening.</summary>
    Opening,

    /// <summary>Single line for a part of an opening that is narrower than the kerf.</summary>
    OpeningLine,

    /// <summary>The frame's pocket.</summary>
    Pocket,

    /// <summary>The frame's outer edge.</summary>
    Edge,
}

/// <summary>One path of the beam's centre, in sheet coordinates (millimetres, origin lower left, y up).</summary>
public sealed record CutPath
{
    /// <summary>What it is for.</summary>
    public required CutKind Kind { get; init; }

    /// <summary>Id of the opening, or the mark's kind, or empty.</summary>
    public required string Owner { get; init; }

    /// <summary>Vertices with bulges; for a closed path the last segment returns to the first vertex.</summary>
    public required ImmutableArray<PathVertex> Vertices { get; init; }

    /// <summary>Whether the path returns to its start.</summary>
    public required bool IsClosed { get; init; }

    /// <summary>Whether this runs once more along the path before it: a further pass, which a machine makes and a drawing does not show.</summary>
    public bool IsRepeat { get; init; }

    /// <summary>Power of this path alone, percent of the machine's own scale; null takes the sheet's.</summary>
    public double? PowerPercent { get; init; }

    /// <summary>Speed of this path alone; null takes the sheet's.</summary>
    public double? SpeedMmS { get; init; }

    /// <summary>Number of segments.</summary>
    public int SegmentCount => IsClosed ? Vertices.Length : Vertices.Length - 1;

    /// <summary>Where the beam is switched on.</summary>
    public Point2 Start => Vertices[0].Point;

    /// <summary>Where the beam is switched off.</summary>
    public Point2 End => IsClosed ? Vertices[0].Point : Vertices[^1].Point;

    /// <summary>Length with the beam on, millimetres.</summary>
    public double LengthMm
    {
        get
        {
            var sum = 0.0;
            for (var i = 0; i < SegmentCount; i++)
            {
                sum += SegmentAt(i).Length;
            }

            return sum;
        }
    }

    /// <summary>The segment that leaves a vertex.</summary>
    public Segment SegmentAt(int index) =>
        new(Vertices[index].Point, Vertices[index + 1 == Vertices.Length ? 0 : index + 1].Point, Vertices[index].Bulge);
}

/// <summary>Everything the beam does to one sheet.</summary>
public sealed record SheetPlan
{
    /// <summary><c>film</c> or <c>frame</c>.</summary>
    public required string Name { get; init; }

    /// <summary>The blank.</summary>
    public required BlankSize Blank { get; init; }

    /// <summary>Its thickness.</summary>
    public required double ThicknessMm { get; init; }

    /// <summary>Power for cuts, percent of the machine's own scale.</summary>
    public required double CutPowerPercent { get; init; }

    /// <summary>Speed of cuts.</summary>
    public required double CutSpeedMmS { get; init; }

    /// <summary>Power for scores, percent of the machine's own scale.</summary>
    public required double ScorePowerPercent { get; init; }

    /// <summary>Speed of scores.</summary>
    public required double ScoreSpeedMmS { get; init; }

    /// <summary>All paths in the order of cutting: scores, then cuts, inner before outer.</summary>
    public required ImmutableArray<CutPath> Paths { get; init; }

    /// <summary>Length with the beam on, scores included.</summary>
    public required double CutLengthMm { get; init; }

    /// <summary>Length with the beam off, from the sheet's origin and between paths.</summary>
    public required double TravelLengthMm { get; init; }

    /// <summary>Predicted time.</summary>
    public required double TimeS { get; init; }
}

/// <summary>An opening as the beam will leave it.</summary>
public sealed record AsCutOpening
{
    /// <summary>Id of the designed opening.</summary>
    public required string Id { get; init; }

    /// <summary>What is open after cutting, in sheet coordinates; empty when nothing opens.</summary>
    public required Region Shape { get; init; }

    /// <summary>Its size as far as printing goes.</summary>
    public required OpeningForm Form { get; init; }

    /// <summary>Open area, square millimetres.</summary>
    public double AreaMm2 => Form.AreaMm2;

    /// <summary>Wanted and still closed, because corners are sharper than the beam or parts too narrow for it, square millimetres.</summary>
    public double LostAreaMm2 { get; init; }

    /// <summary>Open and not wanted, square millimetres: narrow parts as wide as the kerf, islands that fell out, marks and slow corners.</summary>
    public double ExtraAreaMm2 { get; init; }

    /// <summary>How far the wanted outline lies from what opens where that is furthest, mostly at its sharpest corner; null when nothing opens.</summary>
    public double? CornerGapMm { get; init; }

    /// <summary>Open area where the beam went in, square millimetres; more than <see cref="AreaMm2"/> when the cut tapers.</summary>
    public double EntryAreaMm2 { get; init; }

    /// <summary>Area of the walls, square millimetres.</summary>
    public double WallAreaMm2 { get; init; }

    /// <summary>Film left between this opening and its nearest neighbour; null when it has none.</summary>
    public double? WebMm { get; init; }

    /// <summary>How hot the middle of that web gets; null when there is no web or it stays out of the heat's reach.</summary>
    public HeatReading? WebHeat { get; init; }

    /// <summary>What will become of its print.</summary>
    public required PrintForecast Print { get; init; }

    /// <summary>Opening area over wall area. Source: IPC-7525, section 3.2.</summary>
    public double AreaRatio => Print.AreaRatio;

    /// <summary>Narrowest width over film thickness. Source: IPC-7525, section 3.2.</summary>
    public double AspectRatio => Print.AspectRatio;

    /// <summary>Expected deposit volume over opening volume, 0 to 1.</summary>
    public double TransferEfficiency => Print.TransferEfficiency;

    /// <summary>Expected deposit, cubic millimetres.</summary>
    public double PasteVolumeMm3 => Print.PasteVolumeMm3;

    /// <summary>What to expect.</summary>
    public Verdict Verdict => Print.Verdict;
}

/// <summary>The cut of one side.</summary>
public sealed record CutPlan
{
    /// <summary>Which side of the board.</summary>
    public required BoardSide Side { get; init; }

    /// <summary>The film.</summary>
    public required SheetPlan Film { get; init; }

    /// <summary>The frame; null when the board has no outline.</summary>
    public SheetPlan? Frame { get; init; }

    /// <summary>One for each designed opening, in the same order.</summary>
    public required ImmutableArray<AsCutOpening> Openings { get; init; }

    /// <summary>The hottest web; null when no opening has a web within the heat's reach.</summary>
    public HeatReading? HottestWeb { get; init; }

    /// <summary>What a person should know.</summary>
    public required ImmutableArray<Finding> Findings { get; init; }
}
