using System.Globalization;
using Stencilwright.Artwork.Placement;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Ipc2581;

/// <summary>Turns an Xform element into a map.</summary>
internal static class IpcXform
{
    /// <summary>Scale, mirror in x, turn counter-clockwise, then offset; or the turn before the mirror, where the file shows that it means so.</summary>
    public static Affine2 Of(XmlItem? xform, double unitMm, bool turnsBeforeMirroring)
    {
        if (xform is null)
        {
            return Affine2.Identity;
        }

        return Of(xform, unitMm, turnsBeforeMirroring, xform.IsTrue("mirror"));
    }

    /// <summary>The same with the mirror decided by the caller.</summary>
    public static Affine2 Of(XmlItem? xform, double unitMm, bool turnsBeforeMirroring, bool isMirrored)
    {
        double Number(string name, double otherwise) => xform is null || double.IsNaN(xform.Number(name)) ? otherwise : xform.Number(name);
        var scale = Number("scale", 1);
        var size = scale is > 0 and < 1e6 ? Affine2.Scale(scale, scale) : Affine2.Identity;
        var turn = Affine2.RotationDegrees(Number("rotation", 0));
        var mirror = isMirrored ? Affine2.Scale(-1, 1) : Affine2.Identity;
        var both = turnsBeforeMirroring ? mirror * turn : turn * mirror;
        return Affine2.Translation(Number("xOffset", 0) * unitMm, Number("yOffset", 0) * unitMm) * (both * size);
    }
}

/// <summary>Visits the main step and all steps repeated in it, with the map that places each.</summary>
internal sealed class IpcStepWalk(Ipc2581Document document, ReadLimits limits, DiagnosticSink sink)
{
    private const int MostCopies = 100_000;

    private readonly HashSet<string> _inside = new(StringComparer.Ordinal);
    private int _copies;

    /// <summary>Visits; ends early when the visitor says so.</summary>
    /// <param name="visit">Takes the step, its map, and how many levels it lies below the main step; returns false to end.</param>
    public void Visit(Func<IpcStep, Affine2, int, bool> visit)
    {
        if (document.Tables.Steps.TryGetValue(document.Step, out var step))
        {
            Visit(step, Affine2.Identity, 0, visit);
        }
    }

    private bool Visit(IpcStep step, Affine2 map, int level, Func<IpcStep, Affine2, int, bool> visit)
    {
        if (!visit(step, map, level))
        {
            return false;
        }

        _inside.Add(step.Name);
        var goesOn = true;
        foreach (var repeat in step.Repeats)
        {
            goesOn = goesOn && Repeat(repeat, map, level, visit);
        }

        _inside.Remove(step.Name);
        return goesOn;
    }

    private bool Repeat(XmlItem repeat, Affine2 map, int level, Func<IpcStep, Affine2, int, bool> visit)
    {
        var name = repeat.Text("stepRef") ?? "";
        if (!document.Tables.Steps.TryGetValue(name, out var step))
        {
            Say(Ipc2581Codes.Unresolved, repeat, $"There is no step '{DiagnosticSink.Shown(name)}' to repeat; it was left out. Export the file again.");
            return true;
        }

        if (_inside.Contains(name) || level >= limits.MaxDepth)
        {
            Say(Ipc2581Codes.HoldsItself, repeat, $"The step '{DiagnosticSink.Shown(name)}' repeats itself, or steps nest too deeply; that part was left out. Export the file again.");
            return true;
        }

        if (repeat.IsTrue("mirror"))
        {
            Say(Ipc2581Codes.MirroredCopy, repeat, "A copy of a board lies turned over in the panel, which is not carried out, so that copy was left out; give the board by itself.");
            return true;
        }

        double Number(string attribute, double otherwise) => double.IsNaN(repeat.Number(attribute)) ? otherwise : repeat.Number(attribute);
        var (nx, ny) = (Math.Max(1, Number("nx", 1)), Math.Max(1, Number("ny", 1)));
        if (nx * ny > MostCopies || (_copies += (int)(nx * ny)) > MostCopies)
        {
            Say(Ipc2581Codes.LimitReached, repeat, string.Create(CultureInfo.InvariantCulture, $"Steps are repeated more than {MostCopies} times, which no panel needs; this repetition was left out. Give the board by itself."));
            return true;
        }

        var unit = document.Tables.UnitMm;
        var own = Affine2.RotationDegrees(Number("angle", 0)) * Affine2.Translation(-step.DatumX * unit, -step.DatumY * unit);
        for (var i = 0; i < (int)nx; i++)
        {
            for (var j = 0; j < (int)ny; j++)
            {
                var at = Affine2.Translation((Number("x", 0) + (i * Number("dx", 0))) * unit, (Number("y", 0) + (j * Number("dy", 0))) * unit);
                if (!Visit(step, map * (at * own), level + 1, visit))
                {
                    return false;
                }
            }
        }

        return true;
    }

    private void Say(string code, XmlItem item, string message)
    {
        if (sink.IsFirst($"{code} {item.Offset}"))
        {
            sink.Add(code, code == Ipc2581Codes.MirroredCopy ? Severity.Warning : Severity.Error, document.Source.PlaceOf(item.Offset), message);
        }
    }
}
