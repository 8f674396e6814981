namespace Stencilwright.Foundation;

/// <summary>A rectangle of stock.</summary>
/// <param name="WidthMm">Along x, in millimetres.</param>
/// <param name="HeightMm">Along y, in millimetres.</param>
public readonly record struct BlankSize(double WidthMm, double HeightMm);

/// <summary>Every setting that shapes a job, in millimetres, percent, millimetres a second and milliradians.</summary>
/// <remarks>Defaults are common practice for a small CO2 laser and polyester film (no source); a coupon confirms them.</remarks>
public sealed record JobSettings
{
    /// <summary>The settings used when nobody says otherwise.</summary>
    public static JobSettings Default { get; } = new();

    /// <summary>Film thickness.</summary>
    public double FilmThicknessMm { get; init; } = 0.1016;

    /// <summary>The film blank.</summary>
    public BlankSize FilmBlankMm { get; init; } = new(101.6, 101.6);

    /// <summary>Thickness of the support frame's board.</summary>
    public double FrameThicknessMm { get; init; } = 1.524;

    /// <summary>The frame blank.</summary>
    public BlankSize FrameBlankMm { get; init; } = new(152.4, 101.6);

    /// <summary>Gap left between the board's edge and the pocket's edge after cutting, on each side.</summary>
    public double FrameClearanceMm { get; init; } = 1.0;

    /// <summary>How far right of the place that the program chooses the board lies on the film; negative to the left.</summary>
    public double FilmOffsetXMm { get; init; }

    /// <summary>How far above the place that the program chooses the board lies on the film; negative below.</summary>
    public double FilmOffsetYMm { get; init; }

    /// <summary>How far right of the place that the program chooses the pocket lies in the frame; negative to the left.</summary>
    public double FrameOffsetXMm { get; init; }

    /// <summary>How far above the place that the program chooses the pocket lies in the frame; negative below.</summary>
    public double FrameOffsetYMm { get; init; }

    /// <summary>Full width of the cut in film, along x.</summary>
    public double KerfXMm { get; init; } = 0.150;

    /// <summary>Full width of the cut in film, along y.</summary>
    public double KerfYMm { get; init; } = 0.150;

    /// <summary>Full width of the cut in the frame's board.</summary>
    public double FrameKerfMm { get; init; } = 0.150;

    /// <summary>Length as cut over length as drawn, along x.</summary>
    public double ScaleX { get; init; } = 1;

    /// <summary>Length as cut over length as drawn, along y.</summary>
    public double ScaleY { get; init; } = 1;

    /// <summary>Turn of the machine's y axis away from square, positive when y leans towards +x, in milliradians.</summary>
    public double SkewMrad { get; init; }

    /// <summary>Laser power for film, percent of the machine's own scale.</summary>
    public double FilmPowerPercent { get; init; } = 9.2;

    /// <summary>Cutting speed in film.</summary>
    public double FilmSpeedMmS { get; init; } = 10;

    /// <summary>Laser power for the frame, percent of the machine's own scale.</summary>
    public double FramePowerPercent { get; init; } = 15;

    /// <summary>Cutting speed in the frame's board.</summary>
    public double FrameSpeedMmS { get; init; } = 10;

    /// <summary>Laser power for score marks in film and frame, percent of the machine's own scale.</summary>
    public double ScorePowerPercent { get; init; } = 3;

    /// <summary>Speed of score marks.</summary>
    public double ScoreSpeedMmS { get; init; } = 40;

    /// <summary>Speed of moves with the beam off.</summary>
    public double TravelSpeedMmS { get; init; } = 200;

    /// <summary>Acceleration of the axes, millimetres per second squared.</summary>
    public double AccelerationMmS2 { get; init; } = 1000;

    /// <summary>What the machine does at a corner: <c>stop</c>, or <c>round</c> it within <see cref="CornerDeviationMm"/>.</summary>
    public string CornerSlowing { get; init; } = "stop";

    /// <summary>How far the axes may leave a corner that they round.</summary>
    public double CornerDeviationMm { get; init; } = 0.01;

    /// <summary>Power of the laser at 100 percent, watts.</summary>
    public double LaserPowerW { get; init; } = 40;

    /// <summary>Share of the laser's power that stays in the film as heat, percent; an estimate from the width of the melted rim.</summary>
    public double FilmHeatPercent { get; init; } = 5;

    /// <summary>What the film lies on while it is cut, which takes its heat: <c>wet_paper</c>, <c>air</c> or <c>bed</c>.</summary>
    public string FilmLiesOn { get; init; } = "wet_paper";

    /// <summary>Heat that leaves the film through both faces, watts per square metre and kelvin; 0 takes what is assumed for <see cref="FilmLiesOn"/>.</summary>
    public double FilmHeatLossWM2K { get; init; }

    /// <summary>What a second of cooling that a web still needs counts in the order of cuts, in seconds of travel; 0 leaves heat out.</summary>
    public double ReheatWeight { get; init; } = 1;

    /// <summary>Narrowest film between two openings that survives cutting and printing.</summary>
    public double SmallestWebMm { get; init; } = 0.10;

    /// <summary><c>default</c>, <c>none</c>, or the path of a rule file.</summary>
    public string ApertureRules { get; init; } = "default";

    /// <summary>Name of the paste, such as <c>sac305-t4</c>.</summary>
    public string Paste { get; init; } = "sac305-t4";

    /// <summary>What is made of a panel of several copies of one board: <c>whole</c> or <c>one</c>.</summary>
    public string Panel { get; init; } = "whole";

    /// <summary>Thicknesses of the films on the shelf, for advice: lengths with commas between, millimetres unless they name a unit.</summary>
    public string FilmsAtHandMm { get; init; } = "0.0762, 0.1016, 0.127";

    /// <summary>Names of the pastes on the shelf, for advice, with commas between; empty takes every powder type known of the alloy in <see cref="Paste"/>.</summary>
    public string PastesAtHand { get; init; } = "";

    /// <summary>File of measured prints that the release curve is fitted to; empty takes the figures below.</summary>
    public string ReleaseMeasurements { get; init; } = "";

    /// <summary>Area ratio at which half of the paste leaves an opening.</summary>
    public double ReleaseMiddleRatio { get; init; } = 0.43386;

    /// <summary>Steepness of release over area ratio.</summary>
    public double ReleaseSlope { get; init; } = 6.1302;

    /// <summary>Standard deviation of release over its mean for openings of area ratio 0.66 and more, percent.</summary>
    public double ReleaseSpreadPercent { get; init; } = 10;

    /// <summary>Standard deviation of release over its mean for openings of area ratio 0.50 and less, percent.</summary>
    public double ReleaseSmallSpreadPercent { get; init; } = 20;

    /// <summary>What is done where film between two openings is narrower than <see cref="SmallestWebMm"/>: <c>trim</c>, <c>merge</c>, <c>leave</c>, or <c>auto</c>.</summary>
    public string ThinWebs { get; init; } = "auto";

    /// <summary>Share of an opening's area that trimming for a web keeps at least, percent.</summary>
    public double ThinWebKeepPercent { get; init; } = 80;

    /// <summary><c>quick</c>, <c>normal</c>, <c>high</c>, or a number of steps per opening.</summary>
    public string OrderEffort { get; init; } = "normal";

    /// <summary>What an opening keeps although the beam rounds its corners: its <c>edge</c>s, or its <c>area</c>.</summary>
    public string CutBalance { get; init; } = "edge";

    /// <summary>True when the film is cut from the side that will face the board, which mirrors the drawing.</summary>
    public bool CutFromBoardSide { get; init; }

    /// <summary>Thickness of the bare board; decides the step between frame and board.</summary>
    public double BoardThicknessMm { get; init; } = 1.6;

    /// <summary>Title scored into film and frame; empty takes the package's name.</summary>
    public string Title { get; init; } = "";

    /// <summary>A date to print on the traveller, given by the user; empty prints none.</summary>
    public string Date { get; init; } = "";

    /// <summary>Widest gap in an outline that is closed with a warning, instead of being refused.</summary>
    public double OutlineGapMm { get; init; } = 0.1;

    /// <summary>Word that switches the beam on in G-code.</summary>
    public string GcodeBeamOn { get; init; } = "M3";

    /// <summary>Word that switches the beam off in G-code.</summary>
    public string GcodeBeamOff { get; init; } = "M5";

    /// <summary>Value of the S word at full power.</summary>
    public double GcodeFullPower { get; init; } = 1000;

    /// <summary>True writes arcs as arcs in G-code; false as short lines, for controllers that know none.</summary>
    public bool GcodeArcs { get; init; } = true;

    /// <summary>Pen colour of openings in SVG, <c>#RRGGBB</c>; a laser's driver may tell operations apart by it.</summary>
    public string SvgCutPen { get; init; } = "#6B2FA0";

    /// <summary>Pen colour of score marks in SVG.</summary>
    public string SvgScorePen { get; init; } = "#8C5A12";

    /// <summary>Pen colour of the frame's cuts in SVG.</summary>
    public string SvgFramePen { get; init; } = "#00646E";

    /// <summary>Width of lines in SVG; some drivers take a line for a cut only when it is thin.</summary>
    public double SvgLineMm { get; init; } = 0.05;

    /// <summary>Cost of one film blank, in the user's currency.</summary>
    public double FilmBlankCost { get; init; } = 0.06;

    /// <summary>Cost of one frame blank, in the user's currency.</summary>
    public double FrameBlankCost { get; init; } = 0.42;
}
