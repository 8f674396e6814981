using System.Buffers;
using System.Collections.Immutable;
using System.Text.Json;
using Stencilwright.Boards;
using Stencilwright.Design.Printing;
using Stencilwright.Foundation;

namespace Stencilwright.Output;

/// <summary>Writes <c>report.json</c>: everything about a job, for programs. Unknown values are null.</summary>
public static class ReportJsonWriter
{
    private static readonly JsonWriterOptions _options = new() { Indented = true, NewLine = "\n", IndentSize = 1, SkipValidation = true };

    /// <summary>Writes the report.</summary>
    /// <exception cref="ArgumentException">A side's design and plan do not have the same openings.</exception>
    public static byte[] Write(Job job)
    {
        ArgumentNullException.ThrowIfNull(job);
        var buffer = new ArrayBufferWriter<byte>(64 * 1024);
        using var json = new Utf8JsonWriter(buffer, _options);
        json.WriteStartObject();
        json.WriteNumber("formatVersion", 1);
        json.WriteString("version", job.Version);
        Settings(json, job.Settings);
        Sources(json, job.Sources);
        Board(json, job.Outline);
        json.WriteStartArray("sides");
        foreach (var side in job.Sides)
        {
            Side(json, job, side);
        }

        json.WriteEndArray();
        json.WriteEndObject();
        json.Flush();
        return [.. buffer.WrittenSpan, (byte)'\n'];
    }

    private static void Settings(Utf8JsonWriter json, JobSettings s)
    {
        json.WriteStartObject("settings");
        json.WriteString("laser", s.Laser);
        json.WriteString("film", s.Film);
        json.WriteString("frame", s.Frame);
        json.WriteString("board", s.Board);
        Number(json, "film_thickness_mm", s.FilmThicknessMm);
        Size(json, "film_blank_mm", s.FilmBlankMm);
        Number(json, "frame_thickness_mm", s.FrameThicknessMm);
        Size(json, "frame_blank_mm", s.FrameBlankMm);
        Number(json, "frame_clearance_mm", s.FrameClearanceMm);
        Number(json, "film_offset_x_mm", s.FilmOffsetXMm);
        Number(json, "film_offset_y_mm", s.FilmOffsetYMm);
        Number(json, "frame_offset_x_mm", s.FrameOffsetXMm);
        Number(json, "frame_offset_y_mm", s.FrameOffsetYMm);
        Number(json, "kerf_x_mm", s.KerfXMm);
        Number(json, "kerf_y_mm", s.KerfYMm);
        Number(json, "frame_kerf_mm", s.FrameKerfMm);
        Number(json, "taper_mm", s.TaperMm);
        Number(json, "start_mark_mm", s.StartMarkMm);
        Number(json, "kerf_energy_exponent", s.KerfEnergyExponent);
        Number(json, "scale_x", s.ScaleX);
        Number(json, "scale_y", s.ScaleY);
        Number(json, "skew_mrad", s.SkewMrad);
        Number(json, "film_power_percent", s.FilmPowerPercent);
        Number(json, "film_speed_mm_s", s.FilmSpeedMmS);
        json.WriteNumber("film_passes", s.FilmPasses);
        Number(json, "frame_power_percent", s.FramePowerPercent);
        Number(json, "frame_speed_mm_s", s.FrameSpeedMmS);
        json.WriteNumber("frame_passes", s.FramePasses);
        Number(json, "score_power_percent", s.ScorePowerPercent);
        Number(json, "score_speed_mm_s", s.ScoreSpeedMmS);
        json.WriteNumber("score_passes", s.ScorePasses);
        Number(json, "travel_speed_mm_s", s.TravelSpeedMmS);
        Number(json, "acceleration_mm_s2", s.AccelerationMmS2);
        json.WriteString("corner_slowing", s.CornerSlowing);
        Number(json, "corner_deviation_mm", s.CornerDeviationMm);
        json.WriteBoolean("power_follows_speed", s.PowerFollowsSpeed);
        json.WriteString("start_points", s.StartPoints);
        Number(json, "start_overlap_mm", s.StartOverlapMm);
        Number(json, "lead_in_mm", s.LeadInMm);
        Number(json, "laser_power_w", s.LaserPowerW);
        Number(json, "film_heat_percent", s.FilmHeatPercent);
        json.WriteString("film_lies_on", s.FilmLiesOn);
        Number(json, "film_heat_loss_w_m2k", s.FilmHeatLossWM2K);
        Number(json, "reheat_weight", s.ReheatWeight);
        json.WriteBoolean("heat_map", s.HeatMap);
        Number(json, "smallest_web_mm", s.SmallestWebMm);
        json.WriteString("aperture_rules", s.ApertureRules);
        json.WriteString("panel", s.Panel);
        json.WriteString("thin_webs", s.ThinWebs);
        Number(json, "thin_web_keep_percent", s.ThinWebKeepPercent);
        json.WriteString("films_at_hand_mm", s.FilmsAtHandMm);
        json.WriteString("pastes_at_hand", s.PastesAtHand);
        json.WriteString("release_measurements", s.ReleaseMeasurements);
        Number(json, "release_middle_ratio", s.ReleaseMiddleRatio);
        Number(json, "release_slope", s.ReleaseSlope);
        Number(json, "release_spread_percent", s.ReleaseSpreadPercent);
        Number(json, "release_small_spread_percent", s.ReleaseSmallSpreadPercent);
        json.WriteString("paste", s.Paste);
        json.WriteString("order_effort", s.OrderEffort);
        json.WriteString("cut_balance", s.CutBalance);
        json.WriteBoolean("cut_from_board_side", s.CutFromBoardSide);
        json.WriteNumber("boards_across", s.BoardsAcross);
        json.WriteNumber("boards_up", s.BoardsUp);
        Number(json, "boards_gap_mm", s.BoardsGapMm);
        Number(json, "board_thickness_mm", s.BoardThicknessMm);
        json.WriteString("title", s.Title);
        json.WriteString("date", s.Date);
        Number(json, "outline_gap_mm", s.OutlineGapMm);
        Size(json, "work_area_mm", s.WorkAreaMm);
        json.WriteString("machine_origin", s.MachineOrigin);
        json.WriteString("machine_x", s.MachineX);
        json.WriteString("machine_y", s.MachineY);
        json.WriteString("sheet_at_mm", s.SheetAtMm);
        json.WriteString("placed_sheet", s.PlacedSheet);
        json.WriteString("placed_from_mm", s.PlacedFromMm);
        json.WriteString("placed_at_mm", s.PlacedAtMm);
        Number(json, "placed_tolerance_mm", s.PlacedToleranceMm);
        Number(json, "pointer_power_percent", s.PointerPowerPercent);
        Number(json, "pointer_speed_mm_s", s.PointerSpeedMmS);
        json.WriteBoolean("files_per_operation", s.FilesPerOperation);
        json.WriteString("gcode_units", s.GcodeUnits);
        Number(json, "gcode_decimals", s.GcodeDecimals);
        json.WriteString("gcode_preamble", s.GcodePreamble);
        json.WriteString("gcode_ending", s.GcodeEnding);
        json.WriteString("gcode_beam_on", s.GcodeBeamOn);
        json.WriteString("gcode_beam_on_following", s.GcodeBeamOnFollowing);
        json.WriteString("gcode_beam_off", s.GcodeBeamOff);
        Number(json, "gcode_full_power", s.GcodeFullPower);
        json.WriteBoolean("gcode_arcs", s.GcodeArcs);
        Number(json, "gcode_chord_error_mm", s.GcodeChordErrorMm);
        json.WriteString("dxf_cut_layer", s.DxfCutLayer);
        json.WriteString("dxf_score_layer", s.DxfScoreLayer);
        json.WriteString("dxf_pocket_layer", s.DxfPocketLayer);
        json.WriteString("dxf_edge_layer", s.DxfEdgeLayer);
        json.WriteString("dxf_blank_layer", s.DxfBlankLayer);
        json.WriteString("svg_cut_pen", s.SvgCutPen);
        json.WriteString("svg_score_pen", s.SvgScorePen);
        json.WriteString("svg_frame_pen", s.SvgFramePen);
        json.WriteString("svg_blank_pen", s.SvgBlankPen);
        Number(json, "svg_line_mm", s.SvgLineMm);
        Number(json, "svg_cut_line_mm", s.SvgCutLineMm);
        Number(json, "svg_score_line_mm", s.SvgScoreLineMm);
        Number(json, "svg_frame_line_mm", s.SvgFrameLineMm);
        Number(json, "film_blank_cost", s.FilmBlankCost);
        Number(json, "frame_blank_cost", s.FrameBlankCost);
        json.WriteEndObject();
    }

    private static void Sources(Utf8JsonWriter json, ImmutableArray<JobSource> sources)
    {
        json.WriteStartArray("sources");
        foreach (var source in sources)
        {
            json.WriteStartObject();
            json.WriteString("file", source.File);
            json.WriteString("format", source.Format);
            json.WriteString("role", source.Role);
            json.WriteString("sha256", source.Sha256);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }

    private static void Board(Utf8JsonWriter json, BoardOutline? outline)
    {
        if (outline is null)
        {
            json.WriteNull("board");
            return;
        }

        json.WriteStartObject("board");
        Number(json, "outlineAreaMm2", outline.AreaMm2);
        Number(json, "widthMm", outline.WidthMm);
        Number(json, "heightMm", outline.HeightMm);
        json.WriteNumber("cutoutCount", outline.CutoutCount);
        json.WriteEndObject();
    }

    private static void Side(Utf8JsonWriter json, Job job, JobSide side)
    {
        var (totals, film, frame) = (SideTotals.Of(side), side.Plan.Film, side.Plan.Frame);
        json.WriteStartObject();
        json.WriteString("side", JobFiles.Folder(side.Design.Side));
        json.WriteStartObject("placement");
        Number(json, "xMm", side.Design.Placement.XMm);
        Number(json, "yMm", side.Design.Placement.YMm);
        Number(json, "rotationDeg", side.Design.Placement.RotationDeg);
        json.WriteBoolean("mirrored", side.Design.Placement.Mirrored);
        json.WriteEndObject();
        json.WriteNumber("apertureCount", side.Design.Openings.Length);
        Number(json, "artworkAreaMm2", totals.ArtworkAreaMm2);
        Number(json, "designAreaMm2", totals.DesignAreaMm2);
        Number(json, "asCutAreaMm2", totals.AsCutAreaMm2);
        Number(json, "beamLostAreaMm2", totals.LostAreaMm2);
        Number(json, "beamExtraAreaMm2", totals.ExtraAreaMm2);
        json.WriteString("entryFace", job.Settings.CutFromBoardSide ? "board" : "squeegee");
        Number(json, "cutLengthMm", film.CutLengthMm);
        Number(json, "travelLengthMm", film.TravelLengthMm);
        Number(json, "cutTimeS", film.TimeS);
        Number(json, "frameCutLengthMm", frame?.CutLengthMm);
        Number(json, "frameTravelLengthMm", frame?.TravelLengthMm);
        Number(json, "frameCutTimeS", frame?.TimeS);
        Number(json, "narrowestWebMm", totals.NarrowestWebMm);
        Number(json, "smallestAreaRatio", totals.SmallestAreaRatio);
        Number(json, "pasteVolumeMm3", totals.PasteVolumeMm3);
        Number(json, "pasteMassG", side.PasteMassG);
        Number(json, "materialCost", side.MaterialCost);
        json.WriteStartArray("apertures");
        foreach (var row in OpeningRow.Of(side))
        {
            Aperture(json, row, side.Design.FilmBlank);
        }

        json.WriteEndArray();
        json.WriteStartArray("parts");
        foreach (var part in side.Parts)
        {
            Part(json, part);
        }

        json.WriteEndArray();
        if (side.Advice is { } advice)
        {
            Advice(json, advice);
        }

        json.WriteStartArray("findings");
        foreach (var finding in side.Findings)
        {
            WriteFinding(json, finding);
        }

        json.WriteEndArray();
        json.WriteEndObject();
    }

    private static void Part(Utf8JsonWriter json, PartPrint print)
    {
        var part = print.Part;
        json.WriteStartObject();
        json.WriteString("component", part.Reference);
        json.WriteString("class", PartWords.Class(part.Class));
        json.WriteString("sizeImperial", part.SizeImperial);
        json.WriteString("sizeMetric", part.SizeMetric);
        Number(json, "pitchMm", part.PitchMm);
        Number(json, "xMm", part.Center.X);
        Number(json, "yMm", part.Center.Y);
        Number(json, "rotationDeg", part.RotationDeg);
        Number(json, "confidence", part.Confidence);
        json.WriteString("why", part.Why);
        json.WriteString("value", part.Value);
        json.WriteString("package", part.Package);
        json.WriteString("verdict", OpeningRow.Word(print.Verdict));
        Texts(json, "doubts", PartWords.Doubts(print.Doubts));
        json.WriteString("remedy", print.Remedy?.Words);
        Number(json, "pasteVolumeMm3", print.VolumeMm3);
        Number(json, "wantedVolumeMm3", print.WantedVolumeMm3);
        Texts(json, "apertures", print.Openings);
        json.WriteEndObject();
    }

    private static void Advice(Utf8JsonWriter json, FilmAdvice advice)
    {
        json.WriteStartObject("advice");
        json.WriteString("recommendation", advice.Why);
        json.WriteStartArray("choices");
        for (var i = 0; i < advice.Choices.Length; i++)
        {
            var choice = advice.Choices[i];
            json.WriteStartObject();
            Number(json, "filmThicknessMm", choice.FilmThicknessMm);
            json.WriteString("paste", choice.Paste.Name);
            json.WriteBoolean("current", choice.IsCurrent);
            json.WriteBoolean("recommended", i == advice.Best);
            json.WriteNumber("prints", choice.Prints);
            json.WriteNumber("marginal", choice.Marginal);
            json.WriteNumber("willNotPrint", choice.WillNotPrint);
            json.WriteStartObject("volumeShareOfWanted");
            foreach (var volume in choice.Volumes)
            {
                Number(json, PartWords.Class(volume.Class), volume.Share);
            }

            json.WriteEndObject();
            json.WriteEndObject();
        }

        json.WriteEndArray();
        json.WriteEndObject();
    }

    private static void Texts(Utf8JsonWriter json, string name, IEnumerable<string> texts)
    {
        json.WriteStartArray(name);
        foreach (var text in texts)
        {
            json.WriteStringValue(text);
        }

        json.WriteEndArray();
    }

    private static void Aperture(Utf8JsonWriter json, OpeningRow row, BlankSize blank)
    {
        var (design, cut) = (row.Design, row.AsCut);
        json.WriteStartObject();
        json.WriteString("id", design.Id);
        Number(json, "xMm", row.Centre?.X);
        Number(json, "yMm", row.Centre?.Y);
        Number(json, "widthMm", row.WidthMm);
        Number(json, "heightMm", row.HeightMm);
        Number(json, "rotationDeg", design.RotationDeg);
        Number(json, "artworkAreaMm2", design.Artwork.AreaMm2);
        Number(json, "designAreaMm2", design.Design.AreaMm2);
        Number(json, "asCutAreaMm2", cut.AreaMm2);
        Number(json, "beamLostAreaMm2", cut.LostAreaMm2);
        Number(json, "beamExtraAreaMm2", cut.ExtraAreaMm2);
        Number(json, "beamCornerGapMm", cut.CornerGapMm);
        Number(json, "entryAreaMm2", cut.EntryAreaMm2);
        Number(json, "wallAreaMm2", cut.WallAreaMm2);
        Number(json, "areaRatio", cut.AreaRatio);
        Number(json, "aspectRatio", cut.AspectRatio);
        Number(json, "webMm", cut.WebMm);
        Number(json, "edgeMm", row.EdgeMm(blank));
        Number(json, "webPeakC", cut.WebHeat?.PeakC);
        Number(json, "transferEfficiency", cut.TransferEfficiency);
        Number(json, "transferEfficiencySpread", cut.Print.TransferSpread);
        Number(json, "pasteVolumeMm3", cut.PasteVolumeMm3);
        Number(json, "pasteMassG", cut.Print.PasteMassG);
        Number(json, "metalVolumeMm3", cut.Print.MetalVolumeMm3);
        Number(json, "narrowestWidthMm", cut.Form.WidthMm);
        Number(json, "powderBalls", cut.Print.PowderBalls);
        Texts(json, "doubts", PartWords.Doubts(cut.Print.Doubts));
        json.WriteString("component", design.Component);
        json.WriteString("pin", design.Pin);
        json.WriteString("rule", design.Rule);
        json.WriteString("change", design.Change);
        json.WriteString("verdict", OpeningRow.Word(cut.Verdict));
        json.WriteEndObject();
    }

    private static void WriteFinding(Utf8JsonWriter json, Finding finding)
    {
        json.WriteStartObject();
        json.WriteString("severity", SeverityWord(finding.Severity));
        json.WriteString("code", finding.Code);
        json.WriteString("message", finding.Message);
        json.WriteStartArray("apertures");
        foreach (var id in finding.Apertures)
        {
            json.WriteStringValue(id);
        }

        json.WriteEndArray();
        Number(json, "xMm", finding.XMm);
        Number(json, "yMm", finding.YMm);
        if (finding.Source is { } place)
        {
            json.WriteStartObject("source");
            json.WriteString("file", place.File);
            json.WriteNumber("line", place.Line);
            json.WriteEndObject();
        }
        else
        {
            json.WriteNull("source");
        }

        json.WriteEndObject();
    }

    internal static string SeverityWord(Severity severity) => severity switch
    {
        Severity.Error => "error",
        Severity.Warning => "warning",
        _ => "note",
    };

    private static void Size(Utf8JsonWriter json, string name, BlankSize size)
    {
        json.WriteStartArray(name);
        RawNumber(json, size.WidthMm);
        RawNumber(json, size.HeightMm);
        json.WriteEndArray();
    }

    private static void Number(Utf8JsonWriter json, string name, double? value)
    {
        json.WritePropertyName(name);
        RawNumber(json, value);
    }

    // Six decimals, plain: the shortest round-trip form would write exponents.
    private static void RawNumber(Utf8JsonWriter json, double? value)
    {
        if (value is { } number && Math.Abs(number) < 1e12)
        {
            Span<byte> digits = stackalloc byte[32];
            json.WriteRawValue(digits[..PlainText.Format(number, 6, digits)], skipInputValidation: true);
        }
        else
        {
            json.WriteNullValue();
        }
    }
}
