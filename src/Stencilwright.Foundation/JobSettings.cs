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

    /// <summary>Name of the laser out of the shop, or a file that describes one; empty when none was chosen.</summary>
    public string Laser { get; init; } = "";

    /// <summary>Name of the film out of the shop, or a file that describes one; empty when none was chosen.</summary>
    public string Film { get; init; } = "";

    /// <summary>Name of the frame material out of the shop, or a file that describes one; empty when none was chosen.</summary>
    public string Frame { get; init; } = "";

    /// <summary>Name of the bare board out of the shop, or a file that describes one; empty when none was chosen.</summary>
    public string Board { get; init; } = "";

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

    /// <summary>How much wider a cut in film is where the beam goes in than where it comes out, full width; the kerf is where it comes out.</summary>
    public double TaperMm { get; init; }

    /// <summary>How much wider than the kerf the hole is that the beam makes at rest where it begins a cut, full width.</summary>
    public double StartMarkMm { get; init; }

    /// <summary>Exponent of the kerf's growth with energy for each length of cut, where the beam is slower than its set speed; 0 for none.</summary>
    public double KerfEnergyExponent { get; init; }

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

    /// <summary>How often every cut in film is run.</summary>
    public int FilmPasses { get; init; } = 1;

    /// <summary>Laser power for the frame, percent of the machine's own scale.</summary>
    public double FramePowerPercent { get; init; } = 15;

    /// <summary>Cutting speed in the frame's board.</summary>
    public double FrameSpeedMmS { get; init; } = 10;

    /// <summary>How often every cut in the frame's board is run.</summary>
    public int FramePasses { get; init; } = 1;

    /// <summary>Laser power for score marks in film and frame, percent of the machine's own scale.</summary>
    public double ScorePowerPercent { get; init; } = 3;

    /// <summary>Speed of score marks.</summary>
    public double ScoreSpeedMmS { get; init; } = 40;

    /// <summary>How often every score mark is run.</summary>
    public int ScorePasses { get; init; } = 1;

    /// <summary>Speed of moves with the beam off.</summary>
    public double TravelSpeedMmS { get; init; } = 200;

    /// <summary>Acceleration of the axes, millimetres per second squared.</summary>
    public double AccelerationMmS2 { get; init; } = 1000;

    /// <summary>What the machine does at a corner: <c>stop</c>, or <c>round</c> it within <see cref="CornerDeviationMm"/>.</summary>
    public string CornerSlowing { get; init; } = "stop";

    /// <summary>How far the axes may leave a corner that they round.</summary>
    public double CornerDeviationMm { get; init; } = 0.01;

    /// <summary>True when the machine lowers its power where it slows down, so that every length of cut gets the same energy.</summary>
    public bool PowerFollowsSpeed { get; init; }

    /// <summary>Where closed cuts begin: on long <c>sides</c> away from corners and thin webs, or at the <c>nearest</c> corner.</summary>
    public string StartPoints { get; init; } = "sides";

    /// <summary>How far a closed cut goes on past its start.</summary>
    public double StartOverlapMm { get; init; }

    /// <summary>Length of the line inside the waste by which the beam comes to the start of a closed cut.</summary>
    public double LeadInMm { get; init; }

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

    /// <summary>True draws a picture of how hot the film gets.</summary>
    public bool HeatMap { get; init; }

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

    /// <summary>Copies of the board side by side in one frame.</summary>
    public int BoardsAcross { get; init; } = 1;

    /// <summary>Rows of such copies.</summary>
    public int BoardsUp { get; init; } = 1;

    /// <summary>Gap between neighbouring copies.</summary>
    public double BoardsGapMm { get; init; } = 12;

    /// <summary>Thickness of the bare board; decides the step between frame and board.</summary>
    public double BoardThicknessMm { get; init; } = 1.6;

    /// <summary>Title scored into film and frame; empty takes the package's name.</summary>
    public string Title { get; init; } = "";

    /// <summary>A date to print on the traveller, given by the user; empty prints none.</summary>
    public string Date { get; init; } = "";

    /// <summary>Widest gap in an outline that is closed with a warning, instead of being refused.</summary>
    public double OutlineGapMm { get; init; } = 0.1;

    /// <summary>Size of the area that the machine can reach; zero when it is not known, and then nothing is checked.</summary>
    public BlankSize WorkAreaMm { get; init; }

    /// <summary>Corner of the work area where the machine's coordinates are zero, and of the blank that is laid there: <c>lower_left</c>, <c>lower_right</c>, <c>upper_left</c>, <c>upper_right</c> or <c>center</c>, as seen from where the operator stands.</summary>
    public string MachineOrigin { get; init; } = "lower_left";

    /// <summary>Where the machine's x grows: to the <c>right</c> or to the <c>left</c>.</summary>
    public string MachineX { get; init; } = "right";

    /// <summary>Where the machine's y grows: <c>away</c> from the operator, or <c>towards</c>.</summary>
    public string MachineY { get; init; } = "away";

    /// <summary>Machine coordinates of the blank's corner (or middle) that <see cref="MachineOrigin"/> names.</summary>
    public string SheetAtMm { get; init; } = "0, 0";

    /// <summary>The sheet that <see cref="PlacedFromMm"/> speaks of: <c>film</c> or <c>frame</c>.</summary>
    public string PlacedSheet { get; init; } = "film";

    /// <summary>Two points of a sheet that lies on the machine, in sheet coordinates; empty when it lies square where <see cref="SheetAtMm"/> says.</summary>
    public string PlacedFromMm { get; init; } = "";

    /// <summary>Machine coordinates of the same two points, as read off the machine.</summary>
    public string PlacedAtMm { get; init; } = "";

    /// <summary>How much the distance between the two points may differ between sheet and machine.</summary>
    public double PlacedToleranceMm { get; init; } = 0.3;

    /// <summary>Power while the outline is traced, percent of the machine's own scale; 0 keeps the beam off.</summary>
    public double PointerPowerPercent { get; init; }

    /// <summary>Speed at which the outline is traced.</summary>
    public double PointerSpeedMmS { get; init; } = 50;

    /// <summary>True writes each operation into a file of its own as well.</summary>
    public bool FilesPerOperation { get; init; }

    /// <summary>Unit of G-code: <c>mm</c> or <c>inch</c>.</summary>
    public string GcodeUnits { get; init; } = "mm";

    /// <summary>Decimals of coordinates in G-code in millimetres; inches get two more, at most six.</summary>
    public double GcodeDecimals { get; init; } = 5;

    /// <summary>Lines in front of the first move of G-code, with | between; the word for the unit stands before them.</summary>
    public string GcodePreamble { get; init; } = "G90 | G17";

    /// <summary>Lines behind the last cut of G-code, with | between; the beam is off by then.</summary>
    public string GcodeEnding { get; init; } = "G0 X0 Y0 | M2";

    /// <summary>Word that switches the beam on in G-code.</summary>
    public string GcodeBeamOn { get; init; } = "M3";

    /// <summary>Word that switches the beam on with power that follows the speed, taken when <see cref="PowerFollowsSpeed"/>.</summary>
    public string GcodeBeamOnFollowing { get; init; } = "M4";

    /// <summary>Word that switches the beam off in G-code.</summary>
    public string GcodeBeamOff { get; init; } = "M5";

    /// <summary>Value of the S word at full power.</summary>
    public double GcodeFullPower { get; init; } = 1000;

    /// <summary>True writes arcs as arcs in G-code; false as short lines, for controllers that know none.</summary>
    public bool GcodeArcs { get; init; } = true;

    /// <summary>How far short lines may leave the arc that they stand for.</summary>
    public double GcodeChordErrorMm { get; init; } = 0.001;

    /// <summary>DXF layer of openings.</summary>
    public string DxfCutLayer { get; init; } = "OPENINGS";

    /// <summary>DXF layer of score marks.</summary>
    public string DxfScoreLayer { get; init; } = "SCORE";

    /// <summary>DXF layer of the frame's pocket.</summary>
    public string DxfPocketLayer { get; init; } = "POCKET";

    /// <summary>DXF layer of the sheet's own edge, where it is cut.</summary>
    public string DxfEdgeLayer { get; init; } = "EDGE";

    /// <summary>DXF layer of the blank, for reference.</summary>
    public string DxfBlankLayer { get; init; } = "BLANK";

    /// <summary>Pen colour of openings in SVG, <c>#RRGGBB</c>; a laser's driver may tell operations apart by it.</summary>
    public string SvgCutPen { get; init; } = "#6B2FA0";

    /// <summary>Pen colour of score marks in SVG.</summary>
    public string SvgScorePen { get; init; } = "#8C5A12";

    /// <summary>Pen colour of the frame's cuts in SVG.</summary>
    public string SvgFramePen { get; init; } = "#00646E";

    /// <summary>Pen colour of the blank's edge in SVG, which is there for reference.</summary>
    public string SvgBlankPen { get; init; } = "#5B6873";

    /// <summary>Width of lines in SVG; some drivers take a line for a cut only when it is thin.</summary>
    public double SvgLineMm { get; init; } = 0.05;

    /// <summary>Width of the lines of openings in SVG; 0 takes <see cref="SvgLineMm"/>.</summary>
    public double SvgCutLineMm { get; init; }

    /// <summary>Width of the lines of score marks in SVG; 0 takes <see cref="SvgLineMm"/>.</summary>
    public double SvgScoreLineMm { get; init; }

    /// <summary>Width of the lines of the frame's cuts in SVG; 0 takes <see cref="SvgLineMm"/>.</summary>
    public double SvgFrameLineMm { get; init; }

    /// <summary>Cost of one film blank, in the user's currency.</summary>
    public double FilmBlankCost { get; init; } = 0.06;

    /// <summary>Cost of one frame blank, in the user's currency.</summary>
    public double FrameBlankCost { get; init; } = 0.42;
}
