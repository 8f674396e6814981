using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Cutting;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Output.Machine;

/// <summary>Holds sheets against the machine that is to cut them.</summary>
public static class MachineFindings
{
    // A blank that ends at the edge of the work area lies on it, whatever rounding says.
    internal const double SlackMm = 0.001;

    /// <summary>What a person should know of a side's sheets.</summary>
    public static ImmutableArray<Finding> Of(CutPlan plan, JobSettings settings)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(settings);
        var findings = ImmutableArray.CreateBuilder<Finding>();
        findings.AddRange(Of(plan.Film, settings));
        if (plan.Frame is not null)
        {
            findings.AddRange(Of(plan.Frame, settings));
        }

        foreach (var (name, lines) in (ReadOnlySpan<(string, string)>)[("gcode_preamble", settings.GcodePreamble), ("gcode_ending", settings.GcodeEnding)])
        {
            if (ControllerLines.SwitchesOn(lines, settings.GcodeBeamOn)
                || (settings.PowerFollowsSpeed && ControllerLines.SwitchesOn(lines, settings.GcodeBeamOnFollowing)))
            {
                findings.Add(new()
                {
                    Code = "SET025",
                    Severity = Severity.Warning,
                    Message = $"The lines in {name} switch the beam on where nothing is to be cut; take that line out, or give it S0.",
                });
            }
        }

        return findings.ToImmutable();
    }

    /// <summary>What a person should know of one sheet.</summary>
    public static ImmutableArray<Finding> Of(SheetPlan sheet, JobSettings settings)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        var map = MachineMap.Of(sheet.Name, sheet.Blank, settings);
        var findings = ImmutableArray.CreateBuilder<Finding>();
        if (map.PlacementFault is { } fault)
        {
            findings.Add(Error("SET024", $"The {sheet.Name} was not placed, and no G-code was written for it: {fault}."));
        }
        else if (map.Placement is { } placement)
        {
            findings.Add(Placed(sheet, map, placement, settings.PlacedToleranceMm));
        }

        if (MachineMap.WorkArea(settings) is { } area)
        {
            var cuts = Bounds2.Empty;
            foreach (var path in sheet.Paths)
            {
                cuts = Bounds2.Union(cuts, Extent(map.Apply(path)));
            }

            if (Beyond(cuts, area) is { } tooFar)
            {
                findings.Add(Error("SET020", $"Cuts of the {sheet.Name} lie outside the machine's work area, {tooFar}; no G-code was written for it. Move the blank (sheet_at_mm), or check work_area_mm and machine_origin."));
            }
            else if (Beyond(OfBlank(sheet.Blank, map), area) is { } sticksOut)
            {
                findings.Add(new()
                {
                    Code = "SET021",
                    Severity = Severity.Warning,
                    Message = $"All cuts of the {sheet.Name} lie inside the machine's work area, but its blank does not, {sticksOut}; see that it lies flat there and hits nothing.",
                });
            }
        }

        return findings.ToImmutable();
    }

    /// <summary>Whether G-code of a sheet may reach a machine.</summary>
    internal static bool MayCut(SheetPlan sheet, JobSettings settings)
    {
        foreach (var finding in Of(sheet, settings))
        {
            if (finding.Severity == Severity.Error)
            {
                return false;
            }
        }

        return true;
    }

    private static Finding Placed(SheetPlan sheet, MachineMap map, MeasuredPlacement placement, double toleranceMm)
    {
        var corner = map.FromSheet.Apply(new Point2(0, 0));
        var off = placement.MachineMm - placement.SheetMm;
        var figures = string.Create(
            CultureInfo.InvariantCulture,
            $"the two points are {placement.MachineMm:0.###} mm apart on the machine and {placement.SheetMm:0.###} mm on the sheet, a difference of {off:0.###} mm");
        return Math.Abs(off) > toleranceMm
            ? Error("SET023", string.Create(CultureInfo.InvariantCulture, $"The {sheet.Name} was not placed, and no G-code was written for it: {figures}, more than placed_tolerance_mm ({toleranceMm:0.###}). Measure both points again."))
            : new()
            {
                Code = "SET022",
                Severity = Severity.Note,
                Message = string.Create(CultureInfo.InvariantCulture, $"The {sheet.Name} is placed from two points: turned by {placement.TurnRad * 180 / Math.PI:0.###}° counter-clockwise, its lower left corner at {corner.X:0.###}, {corner.Y:0.###} of the machine; {figures}. Run the outline first."),
            };
    }

    internal static Bounds2 Extent(CutPath path)
    {
        var box = Bounds2.Empty.Include(path.Start);
        for (var i = 0; i < path.SegmentCount; i++)
        {
            box = Bounds2.Union(box, path.SegmentAt(i).Bounds);
        }

        return box;
    }

    private static Bounds2 OfBlank(BlankSize blank, MachineMap map)
    {
        var box = Bounds2.Empty;
        foreach (var corner in (ReadOnlySpan<Point2>)[new(0, 0), new(blank.WidthMm, 0), new(blank.WidthMm, blank.HeightMm), new(0, blank.HeightMm)])
        {
            box = box.Include(map.FromSheet.Apply(corner));
        }

        return box;
    }

    private static string? Beyond(Bounds2 box, Bounds2 area)
    {
        if (box.IsEmpty)
        {
            return null;
        }

        var words = new List<string>();
        Add("x", box.MinX, box.MaxX, area.MinX, area.MaxX);
        Add("y", box.MinY, box.MaxY, area.MinY, area.MaxY);
        return words.Count == 0 ? null : string.Join(" and ", words);

        void Add(string axis, double from, double to, double least, double most)
        {
            if (least - from > SlackMm)
            {
                words.Add(string.Create(CultureInfo.InvariantCulture, $"by {least - from:0.###} mm below its least {axis} ({least:0.###})"));
            }

            if (to - most > SlackMm)
            {
                words.Add(string.Create(CultureInfo.InvariantCulture, $"by {to - most:0.###} mm beyond its greatest {axis} ({most:0.###})"));
            }
        }
    }

    private static Finding Error(string code, string message) => new() { Code = code, Severity = Severity.Error, Message = message };
}
