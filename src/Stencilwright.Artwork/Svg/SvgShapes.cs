using System.Globalization;

namespace Stencilwright.Artwork.Svg;

/// <summary>Traces paths and basic shapes (W3C SVG, "Basic shapes").</summary>
internal static class SvgShapes
{
    /// <summary>Reads a length attribute, with the axis that percentages refer to and the value when it is absent.</summary>
    public delegate double LengthOf(string name, SvgAxis axis, double otherwise);

    /// <summary>Draws an element into a path builder.</summary>
    /// <param name="element">A path or a basic shape.</param>
    /// <param name="path">Takes the drawing.</param>
    /// <param name="length">Reads the element's lengths.</param>
    /// <param name="sink">Takes faults of the data; null when the same element has been traced before.</param>
    public static void Trace(SvgElement element, SvgPathBuilder path, LengthOf length, SvgDiagnosticSink? sink)
    {
        switch (element.Name)
        {
            case "path":
                TracePath(element, path, sink);
                break;
            case "rect":
                TraceRectangle(path, length);
                break;
            case "circle":
                TraceEllipse(path, length, length("r", SvgAxis.Diagonal, 0), length("r", SvgAxis.Diagonal, 0));
                break;
            case "ellipse":
                var (rx, ry) = (length("rx", SvgAxis.Horizontal, double.NaN), length("ry", SvgAxis.Vertical, double.NaN));
                TraceEllipse(path, length, double.IsNaN(rx) ? ry : rx, double.IsNaN(ry) ? rx : ry);
                break;
            case "line":
                path.MoveTo(length("x1", SvgAxis.Horizontal, 0), length("y1", SvgAxis.Vertical, 0));
                path.LineTo(length("x2", SvgAxis.Horizontal, 0), length("y2", SvgAxis.Vertical, 0));
                break;
            default:
                TracePoints(element, path, sink);
                break;
        }
    }

    private static void TracePath(SvgElement element, SvgPathBuilder path, SvgDiagnosticSink? sink)
    {
        var data = element.Attribute("d");
        if (string.IsNullOrWhiteSpace(data) || data.AsSpan().Trim() is "none")
        {
            return;
        }

        var fault = SvgPathData.Draw(data, path);
        if (fault >= 0)
        {
            sink?.Error(SvgCodes.PathData, element.Offset, string.Create(CultureInfo.InvariantCulture,
                $"The path's data cannot be understood from character {fault + 1} on ('{SvgText.Short(data[fault..])}'); it was drawn up to there. Correct the path."));
        }
    }

    private static void TraceRectangle(SvgPathBuilder path, LengthOf length)
    {
        var (x, y) = (length("x", SvgAxis.Horizontal, 0), length("y", SvgAxis.Vertical, 0));
        var (w, h) = (length("width", SvgAxis.Horizontal, 0), length("height", SvgAxis.Vertical, 0));
        if (!(w > 0 && h > 0))
        {
            return;
        }

        // One radius given stands for both; each is at most half its side.
        var (rx, ry) = (length("rx", SvgAxis.Horizontal, double.NaN), length("ry", SvgAxis.Vertical, double.NaN));
        rx = double.IsNaN(rx) || rx < 0 ? ry : rx;
        ry = double.IsNaN(ry) || ry < 0 ? rx : ry;
        rx = double.IsNaN(rx) ? 0 : Math.Clamp(rx, 0, w / 2);
        ry = double.IsNaN(ry) ? 0 : Math.Clamp(ry, 0, h / 2);
        path.MoveTo(x + rx, y);
        Side(path, x + w - rx, y, x + w, y + ry, rx, ry);
        Side(path, x + w, y + h - ry, x + w - rx, y + h, rx, ry);
        Side(path, x + rx, y + h, x, y + h - ry, rx, ry);
        Side(path, x, y + ry, x + rx, y, rx, ry);
        path.Close();
    }

    // A side and the corner after it.
    private static void Side(SvgPathBuilder path, double x, double y, double cornerX, double cornerY, double rx, double ry)
    {
        path.LineTo(x, y);
        if (rx > 0 && ry > 0)
        {
            path.ArcTo(x, y, rx, ry, 0, large: false, sweep: true, cornerX, cornerY);
        }
    }

    private static void TraceEllipse(SvgPathBuilder path, LengthOf length, double rx, double ry)
    {
        if (rx > 0 && ry > 0)
        {
            path.Ellipse(length("cx", SvgAxis.Horizontal, 0), length("cy", SvgAxis.Vertical, 0), rx, ry);
        }
    }

    private static void TracePoints(SvgElement element, SvgPathBuilder path, SvgDiagnosticSink? sink)
    {
        var text = element.Attribute("points") ?? "";
        var scanner = new SvgScanner(text);
        var isFirst = true;
        while (!scanner.AtEnd)
        {
            if (!scanner.TryNumber(out var x) || !scanner.TryNumber(out var y))
            {
                sink?.Error(SvgCodes.PathData, element.Offset, string.Create(CultureInfo.InvariantCulture,
                    $"The list of points cannot be understood from character {scanner.Position + 1} on; it was drawn up to there. Correct the list."));
                break;
            }

            if (isFirst)
            {
                path.MoveTo(x, y);
            }
            else
            {
                path.LineTo(x, y);
            }

            isFirst = false;
        }

        if (!isFirst && element.Name == "polygon")
        {
            path.Close();
        }
    }
}
