using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Design.Printing;
using Stencilwright.Foundation;
using Stencilwright.Output;
using Stencilwright.Output.Machine;

namespace Stencilwright.Workbench.Settings;

/// <summary>Every setting a job has, by the name that files and the command line use.</summary>
/// <remarks>Ranges keep out what no small laser and no film can mean; they are common practice, no source.</remarks>
public static class SettingsCatalogue
{
    private const double MostBlankMm = 2000;
    private const double MostPasses = 20;

    /// <summary>All settings in the order in which they are listed for people.</summary>
    public static ImmutableArray<Setting> All { get; } =
    [
        Text("laser", "Laser out of the shop, by name, or a TOML file that describes one (`stencilwright shop list` shows what there is).", s => s.Laser, (s, v) => s with { Laser = v }, OneLine),
        Text("film", "Film out of the shop, by name, or a TOML file.", s => s.Film, (s, v) => s with { Film = v }, OneLine),
        Text("frame", "Frame material out of the shop, by name, or a TOML file.", s => s.Frame, (s, v) => s with { Frame = v }, OneLine),
        Text("board", "Bare board out of the shop, by name, or a TOML file.", s => s.Board, (s, v) => s with { Board = v }, OneLine),
        Length("film_thickness_mm", "Film thickness.", s => s.FilmThicknessMm, (s, v) => s with { FilmThicknessMm = v }, 0, 2, aboveLeast: true),
        Size("film_blank_mm", "Film blank, width and height.", s => s.FilmBlankMm, (s, v) => s with { FilmBlankMm = v }),
        Length("frame_thickness_mm", "Thickness of the support frame's board.", s => s.FrameThicknessMm, (s, v) => s with { FrameThicknessMm = v }, 0, 20, aboveLeast: true),
        Size("frame_blank_mm", "Frame blank, width and height.", s => s.FrameBlankMm, (s, v) => s with { FrameBlankMm = v }),
        Length("frame_clearance_mm", "Gap between the board's edge and the pocket's edge, on each side.", s => s.FrameClearanceMm, (s, v) => s with { FrameClearanceMm = v }, 0, 20),
        Length("film_offset_x_mm", "How far right of the place that the program chooses the board lies on the film; negative to the left.", s => s.FilmOffsetXMm, (s, v) => s with { FilmOffsetXMm = v }, -MostBlankMm, MostBlankMm),
        Length("film_offset_y_mm", "How far above that place; negative below.", s => s.FilmOffsetYMm, (s, v) => s with { FilmOffsetYMm = v }, -MostBlankMm, MostBlankMm),
        Length("frame_offset_x_mm", "How far right of the place that the program chooses the pocket lies in the frame; negative to the left.", s => s.FrameOffsetXMm, (s, v) => s with { FrameOffsetXMm = v }, -MostBlankMm, MostBlankMm),
        Length("frame_offset_y_mm", "How far above that place; negative below.", s => s.FrameOffsetYMm, (s, v) => s with { FrameOffsetYMm = v }, -MostBlankMm, MostBlankMm),
        Length("kerf_x_mm", "Full width of the cut in film, along x.", s => s.KerfXMm, (s, v) => s with { KerfXMm = v }, 0, 2, belowMost: true),
        Length("kerf_y_mm", "Full width of the cut in film, along y.", s => s.KerfYMm, (s, v) => s with { KerfYMm = v }, 0, 2, belowMost: true),
        Length("frame_kerf_mm", "Full width of the cut in the frame's board.", s => s.FrameKerfMm, (s, v) => s with { FrameKerfMm = v }, 0, 2, belowMost: true),
        Length("taper_mm", "How much wider a cut in film is where the beam goes in than where it comes out; the kerf is where it comes out.", s => s.TaperMm, (s, v) => s with { TaperMm = v }, 0, 1),
        Length("start_mark_mm", "How much wider than the kerf the hole is where the beam begins a cut.", s => s.StartMarkMm, (s, v) => s with { StartMarkMm = v }, 0, 2),
        Number("kerf_energy_exponent", "", "Growth of the kerf where the machine is slower: exponent over energy for each length of cut; 0 for none.", s => s.KerfEnergyExponent, (s, v) => s with { KerfEnergyExponent = v }, 0, 1),
        Number("scale_x", "", "Length as cut over length as drawn, along x.", s => s.ScaleX, (s, v) => s with { ScaleX = v }, 0.9, 1.1),
        Number("scale_y", "", "Length as cut over length as drawn, along y.", s => s.ScaleY, (s, v) => s with { ScaleY = v }, 0.9, 1.1),
        Number("skew_mrad", "mrad", "Turn of the machine's y axis away from square, positive towards +x.", s => s.SkewMrad, (s, v) => s with { SkewMrad = v }, -50, 50),
        Number("film_power_percent", "%", "Laser power for film.", s => s.FilmPowerPercent, (s, v) => s with { FilmPowerPercent = v }, 0, 100),
        Number("film_speed_mm_s", "mm/s", "Cutting speed in film.", s => s.FilmSpeedMmS, (s, v) => s with { FilmSpeedMmS = v }, 0, 5000, aboveLeast: true),
        Count("film_passes", "How often every cut in film is run.", s => s.FilmPasses, (s, v) => s with { FilmPasses = v }),
        Number("frame_power_percent", "%", "Laser power for the frame.", s => s.FramePowerPercent, (s, v) => s with { FramePowerPercent = v }, 0, 100),
        Number("frame_speed_mm_s", "mm/s", "Cutting speed in the frame's board.", s => s.FrameSpeedMmS, (s, v) => s with { FrameSpeedMmS = v }, 0, 5000, aboveLeast: true),
        Count("frame_passes", "How often every cut in the frame's board is run.", s => s.FramePasses, (s, v) => s with { FramePasses = v }),
        Number("score_power_percent", "%", "Laser power for score marks.", s => s.ScorePowerPercent, (s, v) => s with { ScorePowerPercent = v }, 0, 100),
        Number("score_speed_mm_s", "mm/s", "Speed of score marks.", s => s.ScoreSpeedMmS, (s, v) => s with { ScoreSpeedMmS = v }, 0, 5000, aboveLeast: true),
        Count("score_passes", "How often every score mark is run.", s => s.ScorePasses, (s, v) => s with { ScorePasses = v }),
        Number("travel_speed_mm_s", "mm/s", "Speed of moves with the beam off.", s => s.TravelSpeedMmS, (s, v) => s with { TravelSpeedMmS = v }, 0, 20000, aboveLeast: true),
        Number("acceleration_mm_s2", "mm/s²", "Acceleration of the axes.", s => s.AccelerationMmS2, (s, v) => s with { AccelerationMmS2 = v }, 0, 1e6, aboveLeast: true),
        OneOf("corner_slowing", "What the machine does at a corner: `stop`, or `round` it.", s => s.CornerSlowing, (s, v) => s with { CornerSlowing = v }, "stop", "round"),
        Length("corner_deviation_mm", "How far the axes may leave a corner that they round.", s => s.CornerDeviationMm, (s, v) => s with { CornerDeviationMm = v }, 0, 1),
        Flag("power_follows_speed", "The machine lowers its power where it slows down, so that every length of cut gets the same energy.", s => s.PowerFollowsSpeed, (s, v) => s with { PowerFollowsSpeed = v }),
        OneOf("start_points", "Where closed cuts begin: on long `sides`, away from corners and thin webs, or at the `nearest` corner.", s => s.StartPoints, (s, v) => s with { StartPoints = v }, "sides", "nearest"),
        Length("start_overlap_mm", "How far a closed cut goes on past its start.", s => s.StartOverlapMm, (s, v) => s with { StartOverlapMm = v }, 0, 5),
        Length("lead_in_mm", "Length of the line inside the slug by which the beam comes to the start of a closed cut, where there is room.", s => s.LeadInMm, (s, v) => s with { LeadInMm = v }, 0, 5),
        Number("laser_power_w", "W", "Power of the laser at 100 percent.", s => s.LaserPowerW, (s, v) => s with { LaserPowerW = v }, 0, 1000, aboveLeast: true),
        Number("film_heat_percent", "%", "Share of the laser's power that stays in the film as heat (an estimate).", s => s.FilmHeatPercent, (s, v) => s with { FilmHeatPercent = v }, 0, 100),
        OneOf("film_lies_on", "What the film lies on while it is cut: `wet_paper`, `air` or `bed`.", s => s.FilmLiesOn, (s, v) => s with { FilmLiesOn = v }, "wet_paper", "air", "bed"),
        Number("film_heat_loss_w_m2k", "W/(m²·K)", "Heat that leaves the film through both faces; 0 takes what is assumed for film_lies_on.", s => s.FilmHeatLossWM2K, (s, v) => s with { FilmHeatLossWM2K = v }, 0, 1e6),
        Number("reheat_weight", "", "What a second of cooling that a web still needs counts in the order of cuts, in seconds of travel; 0 leaves heat out.", s => s.ReheatWeight, (s, v) => s with { ReheatWeight = v }, 0, 100),
        Flag("heat_map", "Draw a picture of how hot the film gets (heat.png, and a page of the traveller); takes a second.", s => s.HeatMap, (s, v) => s with { HeatMap = v }),
        Length("smallest_web_mm", "Narrowest film between two openings that survives.", s => s.SmallestWebMm, (s, v) => s with { SmallestWebMm = v }, 0, 5),
        Text("aperture_rules", "Rules that shape the openings: `default`, `none`, or a rule file.", s => s.ApertureRules, (s, v) => s with { ApertureRules = v }, Rules),
        OneOf("panel", "What is made of a panel with several copies of one board: the `whole` of it, or `one` board.", s => s.Panel, (s, v) => s with { Panel = v }, "whole", "one"),
        OneOf("thin_webs", "What is done where film between two openings is too narrow to survive: `trim` both, `merge` them, `leave` it, or `auto` (trims unless aperture_rules is none).", s => s.ThinWebs, (s, v) => s with { ThinWebs = v }, "auto", "trim", "merge", "leave"),
        Number("thin_web_keep_percent", "%", "Share of an opening's area that trimming for a web keeps at least.", s => s.ThinWebKeepPercent, (s, v) => s with { ThinWebKeepPercent = v }, 10, 100),
        Text("films_at_hand_mm", "Thicknesses of the films on the shelf, for advice.", s => s.FilmsAtHandMm, (s, v) => s with { FilmsAtHandMm = v }, Films),
        Text("pastes_at_hand", "Names of the pastes on the shelf, for advice; empty takes every powder type known of the same alloy.", s => s.PastesAtHand, (s, v) => s with { PastesAtHand = v }, KnownPastes),
        Text("release_measurements", "CSV file of your own measured prints, areaRatio,transferEfficiency, that the four figures below are fitted to.", s => s.ReleaseMeasurements, (s, v) => s with { ReleaseMeasurements = v }, OneLine),
        Number("release_middle_ratio", "", "Area ratio at which half of the paste leaves an opening.", s => s.ReleaseMiddleRatio, (s, v) => s with { ReleaseMiddleRatio = v }, 0, 2),
        Number("release_slope", "", "Steepness of release over area ratio.", s => s.ReleaseSlope, (s, v) => s with { ReleaseSlope = v }, 0, 100, aboveLeast: true),
        Number("release_spread_percent", "%", "Standard deviation of release over its mean, for openings of area ratio 0.66 and more.", s => s.ReleaseSpreadPercent, (s, v) => s with { ReleaseSpreadPercent = v }, 0, 100),
        Number("release_small_spread_percent", "%", "The same for openings of area ratio 0.50 and less.", s => s.ReleaseSmallSpreadPercent, (s, v) => s with { ReleaseSmallSpreadPercent = v }, 0, 100),
        Text("paste", "Name of the solder paste.", s => s.Paste, (s, v) => s with { Paste = v }, KnownPaste),
        Text("order_effort", "`quick`, `normal`, `high`, or a number of steps per opening.", s => s.OrderEffort, (s, v) => s with { OrderEffort = v }, Effort),
        OneOf("cut_balance", "What an opening keeps although the beam rounds its corners: its `edge`s where they are, or its `area`.", s => s.CutBalance, (s, v) => s with { CutBalance = v }, "edge", "area"),
        Flag("cut_from_board_side", "Cut the film from the side that will face the board (mirrors the drawing).", s => s.CutFromBoardSide, (s, v) => s with { CutFromBoardSide = v }),
        Count("boards_across", "Copies of the board side by side in one frame, printed together.", s => s.BoardsAcross, (s, v) => s with { BoardsAcross = v }),
        Count("boards_up", "Rows of such copies.", s => s.BoardsUp, (s, v) => s with { BoardsUp = v }),
        Length("boards_gap_mm", "Gap between neighbouring copies.", s => s.BoardsGapMm, (s, v) => s with { BoardsGapMm = v }, 0, 500),
        Length("board_thickness_mm", "Thickness of the bare board.", s => s.BoardThicknessMm, (s, v) => s with { BoardThicknessMm = v }, 0, 20, aboveLeast: true),
        Text("title", "Title scored into film and frame; empty takes the package's name.", s => s.Title, (s, v) => s with { Title = v }, OneLine),
        Text("date", "Date printed on the traveller; empty prints none.", s => s.Date, (s, v) => s with { Date = v }, OneLine),
        Length("outline_gap_mm", "Widest gap in an outline that is closed with a warning.", s => s.OutlineGapMm, (s, v) => s with { OutlineGapMm = v }, 0, 10),
        Extent("work_area_mm", "Area that the machine can reach, width and depth; 0x0 when it is not known, and then nothing is checked.", s => s.WorkAreaMm, (s, v) => s with { WorkAreaMm = v }),
        OneOf("machine_origin", "Corner of the work area where the machine's coordinates are zero, and of the blank that is laid there: `lower_left`, `lower_right`, `upper_left`, `upper_right` or `center`.", s => s.MachineOrigin, (s, v) => s with { MachineOrigin = v }, "lower_left", "lower_right", "upper_left", "upper_right", "center"),
        OneOf("machine_x", "Where the machine's x grows, seen by the operator: `right` or `left`.", s => s.MachineX, (s, v) => s with { MachineX = v }, "right", "left"),
        OneOf("machine_y", "Where the machine's y grows: `away` from the operator or `towards`.", s => s.MachineY, (s, v) => s with { MachineY = v }, "away", "towards"),
        Text("sheet_at_mm", "Machine coordinates of that corner (or middle) of the blank, x and y.", s => s.SheetAtMm, (s, v) => s with { SheetAtMm = v }, OnePlace),
        OneOf("placed_sheet", "The sheet that the two settings below speak of: `film` or `frame`.", s => s.PlacedSheet, (s, v) => s with { PlacedSheet = v }, "film", "frame"),
        Text("placed_from_mm", "Two points of a sheet that lies on the machine, in sheet coordinates, such as 5,5 96.6,5; the .nc files follow how it lies.", s => s.PlacedFromMm, (s, v) => s with { PlacedFromMm = v }, TwoPlaces),
        Text("placed_at_mm", "Machine coordinates of the same two points, as read off the machine.", s => s.PlacedAtMm, (s, v) => s with { PlacedAtMm = v }, TwoPlaces),
        Length("placed_tolerance_mm", "How much the distance of the two points may differ between sheet and machine.", s => s.PlacedToleranceMm, (s, v) => s with { PlacedToleranceMm = v }, 0, 10),
        Number("pointer_power_percent", "%", "Power while the outline is traced; 0 keeps the beam off.", s => s.PointerPowerPercent, (s, v) => s with { PointerPowerPercent = v }, 0, 20),
        Number("pointer_speed_mm_s", "mm/s", "Speed at which the outline is traced.", s => s.PointerSpeedMmS, (s, v) => s with { PointerSpeedMmS = v }, 0, 5000, aboveLeast: true),
        Flag("files_per_operation", "Write each operation into a file of its own as well.", s => s.FilesPerOperation, (s, v) => s with { FilesPerOperation = v }),
        OneOf("gcode_units", "Unit of G-code: `mm` or `inch`.", s => s.GcodeUnits, (s, v) => s with { GcodeUnits = v }, "mm", "inch"),
        Number("gcode_decimals", "", "Decimals of coordinates in millimetres; inches get two more, at most six.", s => s.GcodeDecimals, (s, v) => s with { GcodeDecimals = v }, 3, 6),
        Text("gcode_preamble", "Lines of G-code before the first move, with | between; the word for the unit stands before them, beam off behind.", s => s.GcodePreamble, (s, v) => s with { GcodePreamble = v }, Preamble) with { Between = " | " },
        Text("gcode_ending", "Lines of G-code behind the last cut, with | between; the beam is off by then.", s => s.GcodeEnding, (s, v) => s with { GcodeEnding = v }, Ending) with { Between = " | " },
        Text("gcode_beam_on", "G-code word that switches the beam on.", s => s.GcodeBeamOn, (s, v) => s with { GcodeBeamOn = v }, Word),
        Text("gcode_beam_on_following", "The same with power that follows the speed, taken when power_follows_speed is true.", s => s.GcodeBeamOnFollowing, (s, v) => s with { GcodeBeamOnFollowing = v }, Word),
        Text("gcode_beam_off", "G-code word that switches the beam off.", s => s.GcodeBeamOff, (s, v) => s with { GcodeBeamOff = v }, Word),
        Number("gcode_full_power", "", "Value of the S word at full power.", s => s.GcodeFullPower, (s, v) => s with { GcodeFullPower = v }, 0, 1e6, aboveLeast: true),
        Flag("gcode_arcs", "Write arcs as arcs; false as short lines, for controllers that know none.", s => s.GcodeArcs, (s, v) => s with { GcodeArcs = v }),
        Length("gcode_chord_error_mm", "How far short lines may leave the arc that they stand for.", s => s.GcodeChordErrorMm, (s, v) => s with { GcodeChordErrorMm = v }, 0.0001, 0.1),
        Text("dxf_cut_layer", "DXF layer of openings.", s => s.DxfCutLayer, (s, v) => s with { DxfCutLayer = v }, Layer),
        Text("dxf_score_layer", "DXF layer of score marks.", s => s.DxfScoreLayer, (s, v) => s with { DxfScoreLayer = v }, Layer),
        Text("dxf_pocket_layer", "DXF layer of the frame's pocket.", s => s.DxfPocketLayer, (s, v) => s with { DxfPocketLayer = v }, Layer),
        Text("dxf_edge_layer", "DXF layer of the sheet's own edge, where it is cut.", s => s.DxfEdgeLayer, (s, v) => s with { DxfEdgeLayer = v }, Layer),
        Text("dxf_blank_layer", "DXF layer of the blank, which is there for reference.", s => s.DxfBlankLayer, (s, v) => s with { DxfBlankLayer = v }, Layer),
        Text("svg_cut_pen", "Pen colour of openings in SVG, by which a laser's driver may tell operations apart.", s => s.SvgCutPen, (s, v) => s with { SvgCutPen = v }, Colour),
        Text("svg_score_pen", "Pen colour of score marks in SVG.", s => s.SvgScorePen, (s, v) => s with { SvgScorePen = v }, Colour),
        Text("svg_frame_pen", "Pen colour of the frame's cuts in SVG.", s => s.SvgFramePen, (s, v) => s with { SvgFramePen = v }, Colour),
        Text("svg_blank_pen", "Pen colour of the blank's edge in SVG, which is there for reference.", s => s.SvgBlankPen, (s, v) => s with { SvgBlankPen = v }, Colour),
        Length("svg_line_mm", "Width of lines in SVG.", s => s.SvgLineMm, (s, v) => s with { SvgLineMm = v }, 0, 2, aboveLeast: true),
        Length("svg_cut_line_mm", "Width of the lines of openings in SVG; 0 takes svg_line_mm.", s => s.SvgCutLineMm, (s, v) => s with { SvgCutLineMm = v }, 0, 2),
        Length("svg_score_line_mm", "Width of the lines of score marks in SVG; 0 takes svg_line_mm.", s => s.SvgScoreLineMm, (s, v) => s with { SvgScoreLineMm = v }, 0, 2),
        Length("svg_frame_line_mm", "Width of the lines of the frame's cuts in SVG; 0 takes svg_line_mm.", s => s.SvgFrameLineMm, (s, v) => s with { SvgFrameLineMm = v }, 0, 2),
        Number("film_blank_cost", "", "Cost of one film blank, in your currency.", s => s.FilmBlankCost, (s, v) => s with { FilmBlankCost = v }, 0, 1e6),
        Number("frame_blank_cost", "", "Cost of one frame blank, in your currency.", s => s.FrameBlankCost, (s, v) => s with { FrameBlankCost = v }, 0, 1e6),
    ];

    /// <summary>The setting of that name (letter case counts), or null.</summary>
    public static Setting? Find(string name)
    {
        foreach (var setting in All)
        {
            if (string.Equals(setting.Name, name, StringComparison.Ordinal))
            {
                return setting;
            }
        }

        return null;
    }

    /// <summary>Every setting in force, one <c>name = value</c> a line, in a form that a job file takes back.</summary>
    public static string Describe(JobSettings settings)
    {
        var text = new System.Text.StringBuilder();
        foreach (var setting in All)
        {
            text.Append(setting.Name).Append(" = ").Append(TomlText.Of(setting, setting.Get(settings))).Append('\n');
        }

        return text.ToString();
    }

    private static Setting Length(
        string name, string help, Func<JobSettings, double> get, Func<JobSettings, double, JobSettings> with,
        double least, double most, bool aboveLeast = false, bool belowMost = false) => new()
        {
            Name = name,
            Kind = SettingKind.Length,
            Unit = "mm",
            Help = help,
            Least = least,
            Most = most,
            AboveLeast = aboveLeast,
            BelowMost = belowMost,
            Get = s => new SettingValue(Number: get(s)),
            With = (s, v) => with(s, v.Number),
        };

    private static Setting Number(
        string name, string unit, string help, Func<JobSettings, double> get, Func<JobSettings, double, JobSettings> with,
        double least, double most, bool aboveLeast = false) => new()
        {
            Name = name,
            Kind = SettingKind.Number,
            Unit = unit,
            Help = help,
            Least = least,
            Most = most,
            AboveLeast = aboveLeast,
            Get = s => new SettingValue(Number: get(s)),
            With = (s, v) => with(s, v.Number),
        };

    private static Setting Count(string name, string help, Func<JobSettings, int> get, Func<JobSettings, int, JobSettings> with) =>
        Number(name, "", help, s => get(s), (s, v) => with(s, (int)v), 1, MostPasses) with { IsWhole = true };

    private static Setting Size(string name, string help, Func<JobSettings, BlankSize> get, Func<JobSettings, BlankSize, JobSettings> with) => new()
    {
        Name = name,
        Kind = SettingKind.Size,
        Unit = "mm",
        Help = help,
        Least = 0,
        AboveLeast = true,
        Most = MostBlankMm,
        Get = s => new SettingValue(Size: get(s)),
        With = (s, v) => with(s, v.Size),
    };

    // A rectangle that may be nothing.
    private static Setting Extent(string name, string help, Func<JobSettings, BlankSize> get, Func<JobSettings, BlankSize, JobSettings> with) =>
        Size(name, help, get, with) with { AboveLeast = false, Most = 10 * MostBlankMm };

    private static Setting Flag(string name, string help, Func<JobSettings, bool> get, Func<JobSettings, bool, JobSettings> with) => new()
    {
        Name = name,
        Kind = SettingKind.Flag,
        Help = help,
        Get = s => new SettingValue(Flag: get(s)),
        With = (s, v) => with(s, v.Flag),
    };

    private static Setting Text(
        string name, string help, Func<JobSettings, string> get, Func<JobSettings, string, JobSettings> with, Func<string, string?> check) => new()
        {
            Name = name,
            Kind = SettingKind.Text,
            Help = help,
            CheckText = check,
            Get = s => new SettingValue(Text: get(s)),
            With = (s, v) => with(s, v.Text),
        };

    private static Setting OneOf(
        string name, string help, Func<JobSettings, string> get, Func<JobSettings, string, JobSettings> with, params string[] choices)
    {
        var wanted = string.Join(", ", choices[..^1].Select(c => $"`{c}`")) + $" or `{choices[^1]}`";
        return Text(name, help, get, with, text => choices.Contains(text, StringComparer.Ordinal) ? null : wanted) with { Choices = [.. choices] };
    }

    private static string? OneLine(string text) =>
        text.Length <= 200 && !text.AsSpan().ContainsAnyInRange('\0', '\u001f') ? null : "one line of at most 200 characters";

    private static string? Rules(string text) => text.Trim().Length > 0 ? null : "`default`, `none`, or the name of a rule file";

    private static string? Colour(string text) =>
        text.Length == 7 && text[0] == '#' && text.Skip(1).All(char.IsAsciiHexDigit) ? null : "a colour such as #6B2FA0";

    private static string? OnePlace(string text) => Places.TryParse(text, 1, out _) ? null : "x and y of a point, such as 12.5, 8";

    private static string? TwoPlaces(string text) =>
        text.Trim().Length == 0 || Places.TryParse(text, 2, out _) ? null : "x and y of two points, such as 5,5 96.6,5";

    private static string? Preamble(string text) => ControllerLines.Fault(text, isPreamble: true);

    private static string? Ending(string text) => ControllerLines.Fault(text, isPreamble: false);

    private static string? Layer(string text) => DxfWriter.IsLayerName(text) ? null : "a layer name of 1 to 31 plain letters, digits, `-`, `_` and `$`";

    private static string? Films(string text) =>
        FilmAdvice.FilmsOf(text) is { IsEmpty: false } films && films.All(f => f is > 0 and <= 2) ? null : "film thicknesses with commas between, such as 0.0762, 0.1016 or 3mil, 4mil";

    private static string? KnownPastes(string text)
    {
        foreach (var name in text.Split(',', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries))
        {
            if (KnownPaste(name) is { } wanted)
            {
                return "names of pastes with commas between, each " + wanted;
            }
        }

        return null;
    }

    private static string? KnownPaste(string text)
    {
        if (Pastes.Find(text) is not null)
        {
            return null;
        }

        var near = Suggestion.For(text, Pastes.Names);
        return $"the name of a paste: {string.Join(", ", Pastes.Names)}{(near is null ? "" : $" (did you mean {near}?)")}";
    }

    private static string? Word(string text) =>
        text.Length is > 0 and <= 40 && text.All(c => char.IsAsciiLetterOrDigit(c) || c is ' ' or '.' or '-')
        && !text.Split(' ').Any(w => w.StartsWith('S') || w.StartsWith('s')) ? null : "G-code words of plain letters, digits and spaces, without an S word";

    private static string? Effort(string text) =>
        text is "quick" or "normal" or "high"
        || (int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var steps) && steps is >= 1 and <= 1_000_000)
            ? null
            : "`quick`, `normal`, `high`, or a whole number of steps from 1 to 1000000";
}
