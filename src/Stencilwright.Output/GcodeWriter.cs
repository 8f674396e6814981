using System.Globalization;
using Stencilwright.Cutting;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Output.Machine;

namespace Stencilwright.Output;

/// <summary>Writes the cut of a sheet as G-code: ISO 6983 words, absolute, in the coordinates of the user's machine.</summary>
/// <remarks>
/// Arc centres (I, J) are relative to the arc's start, as most controllers take them, and are worked out from the rounded
/// ends, so that start and end radius agree within 0.02 µm at five decimals; interpreters refuse more than 0.002 mm.
/// Source: ISO 6983-1 and NISTIR 6556, section 3.5.3 (from memory).
/// </remarks>
public static class GcodeWriter
{
    /// <summary>Writes a sheet.</summary>
    /// <param name="plan">The film or the frame.</param>
    /// <param name="title">Goes into a comment; what is not plain ASCII becomes a question mark.</param>
    /// <param name="settings">The user's machine: words, unit, origin, directions, and where the sheet lies.</param>
    /// <exception cref="ArgumentException">A coordinate is not finite.</exception>
    public static byte[] Write(SheetPlan plan, string title, JobSettings settings)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(title);
        ArgumentNullException.ThrowIfNull(settings);
        var (map, file) = (MachineMap.Of(plan.Name, plan.Blank, settings), new GcodeFile(settings));
        Header(file, plan, title, map, settings);
        file.Begin();
        var on = settings.PowerFollowsSpeed ? settings.GcodeBeamOnFollowing : settings.GcodeBeamOn;
        var scoring = false;
        foreach (var drawn in plan.Paths)
        {
            var path = map.Apply(drawn);
            var isScore = path.Kind == CutKind.Score;
            if (isScore && !scoring)
            {
                file.Comment("Score marks");
            }
            else if (!isScore && scoring)
            {
                file.Comment("Cuts");
            }

            scoring = isScore;
            var power = path.PowerPercent ?? (isScore ? plan.ScorePowerPercent : plan.CutPowerPercent);
            var speed = path.SpeedMmS ?? (isScore ? plan.ScoreSpeedMmS : plan.CutSpeedMmS);
            file.Travel(path.Start);
            file.BeamOn(on, power);
            file.Follow(path, speed);
            file.BeamOff();
        }

        return file.End();
    }

    /// <summary>Writes a dry run: the blank's edge and the box of all cuts, with the beam off or at the pointer's power.</summary>
    /// <param name="plan">The film or the frame.</param>
    /// <param name="title">Goes into a comment.</param>
    /// <param name="settings">As for <see cref="Write"/>, and the pointer's power and speed.</param>
    /// <exception cref="ArgumentException">A coordinate is not finite.</exception>
    public static byte[] WriteOutline(SheetPlan plan, string title, JobSettings settings)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(title);
        ArgumentNullException.ThrowIfNull(settings);
        var (map, file) = (MachineMap.Of(plan.Name, plan.Blank, settings), new GcodeFile(settings));
        file.Comment("Title: " + title);
        file.Comment($"Dry run of the {plan.Name}: the blank's edge, then the box of all cuts");
        file.Comment(settings.PointerPowerPercent > 0
            ? $"The beam is ON at {PlainText.Of(settings.PointerPowerPercent, 2)} percent: enclosure shut, goggles on"
            : "The beam stays off: watch the pointer or the nozzle");
        Lies(file, map, settings);
        file.Begin();
        var area = MachineMap.WorkArea(settings);
        Trace("Blank", Corners(new Bounds2(0, 0, plan.Blank.WidthMm, plan.Blank.HeightMm), map.FromSheet));
        var (drawn, told) = (Bounds2.Empty, Bounds2.Empty);
        foreach (var path in plan.Paths)
        {
            drawn = Bounds2.Union(drawn, MachineFindings.Extent(path));
            told = Bounds2.Union(told, MachineFindings.Extent(map.Apply(path)));
        }

        if (!drawn.IsEmpty)
        {
            // The corners of a box that lies askew can stick out where no cut does; a box along the axes then has none that do.
            var box = Corners(drawn, map.FromDrawn);
            Trace("Box of all cuts", IsReached(box) ? box : Corners(told, Affine2.Identity));
        }

        return file.End();

        bool IsReached(Point2[] corners) => area is not { } reach || Array.TrueForAll(corners, reach.Inflate(MachineFindings.SlackMm).Contains);

        void Trace(string name, Point2[] corners)
        {
            if (!IsReached(corners))
            {
                file.Comment(name + " is not traced: it reaches beyond the work area");
                return;
            }

            file.Comment(name);
            var path = new CutPath
            {
                Kind = CutKind.Score,
                Owner = "",
                IsClosed = true,
                Vertices = [.. corners.Select(p => new PathVertex(p.X, p.Y))],
            };
            file.Travel(path.Start);
            if (settings.PointerPowerPercent > 0)
            {
                file.BeamOn(settings.GcodeBeamOn, settings.PointerPowerPercent);
            }

            file.Follow(path, settings.PointerSpeedMmS);
            file.BeamOff();
        }
    }

    private static Point2[] Corners(Bounds2 box, Affine2 toMachine) =>
    [
        toMachine.Apply(new Point2(box.MinX, box.MinY)), toMachine.Apply(new Point2(box.MaxX, box.MinY)),
        toMachine.Apply(new Point2(box.MaxX, box.MaxY)), toMachine.Apply(new Point2(box.MinX, box.MaxY)),
    ];

    private static void Header(GcodeFile file, SheetPlan plan, string title, MachineMap map, JobSettings settings)
    {
        file.Comment("Title: " + title);
        file.Comment($"Sheet: {plan.Name}, blank {PlainText.Of(plan.Blank.WidthMm, 3)} x {PlainText.Of(plan.Blank.HeightMm, 3)} mm, thickness {PlainText.Of(plan.ThicknessMm, 4)} mm");
        file.Comment($"Cut {PlainText.Of(plan.CutPowerPercent, 2)} percent at {PlainText.Of(plan.CutSpeedMmS, 2)} mm/s, score {PlainText.Of(plan.ScorePowerPercent, 2)} percent at {PlainText.Of(plan.ScoreSpeedMmS, 2)} mm/s");
        var passes = plan.Name == "frame" ? settings.FramePasses : settings.FilmPasses;
        if (passes > 1 || settings.ScorePasses > 1)
        {
            file.Comment(string.Create(CultureInfo.InvariantCulture, $"Passes in this file: cuts {passes}, score marks {settings.ScorePasses}"));
        }

        Lies(file, map, settings);
        file.Comment("CAUTION: keep the enclosure shut and its interlocks on");
        file.Comment("CAUTION: stay beside the machine, extinguisher at hand, fumes led out of the room");
        file.Comment(plan.Name == "frame"
            ? "CAUTION: chipboard and paper burn, watch the cut to its end"
            : "CAUTION: only film known to be polyester, PVC and vinyl give off hydrogen chloride");
        file.Comment("Local rules and the manual of the machine go first");
    }

    private static void Lies(GcodeFile file, MachineMap map, JobSettings settings)
    {
        var unit = settings.GcodeUnits == "inch" ? "inches" : "millimetres";
        var axes = $"x {settings.MachineX}, y {settings.MachineY}, {unit}";
        if (map.Placement is { } placement)
        {
            var corner = map.FromSheet.Apply(new Point2(0, 0));
            file.Comment($"Placed from two points: turned counter-clockwise by {PlainText.Of(placement.TurnRad * 180 / Math.PI, 3)} degrees");
            file.Comment($"Lower left corner of the blank at {PlainText.Of(corner.X, 3)}, {PlainText.Of(corner.Y, 3)} mm of the machine");
            file.Comment($"Axes: {axes}");
            return;
        }

        var name = MachineMap.CornerInWords(settings.MachineOrigin);
        file.Comment($"Origin: {name} of the {(IsAtOrigin(settings) ? "blank" : "work area")}, {axes}");
        if (!IsAtOrigin(settings) && Places.TryParse(settings.SheetAtMm, 1, out var at))
        {
            file.Comment($"{char.ToUpperInvariant(name[0])}{name[1..]} of the blank at {PlainText.Of(at[0].X, 3)}, {PlainText.Of(at[0].Y, 3)} mm of the machine");
        }
    }

    private static bool IsAtOrigin(JobSettings settings) =>
        !Places.TryParse(settings.SheetAtMm, 1, out var at) || at[0] == new Point2(0, 0);
}
