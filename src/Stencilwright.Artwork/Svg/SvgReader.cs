using System.Globalization;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Svg;

/// <summary>Reads an SVG plot of one layer.</summary>
/// <remarks>
/// Source of the rules: W3C SVG 1.1 and SVG 2, "Paths", "Basic shapes", "Coordinate systems", "Painting", "Styling".
/// Lengths are turned into millimetres by the page's physical size, and y is turned up: y = page height − y of the
/// page. Plots of one board that share a page so share an origin. White paint clears, any other paint adds.
/// </remarks>
public static class SvgReader
{
    /// <summary>Reads a plot; never throws for what the file holds.</summary>
    /// <param name="source">The file.</param>
    /// <param name="limits">Bounds on what is read.</param>
    /// <param name="cancellationToken">Ends the reading early.</param>
    /// <returns>The layer as far as it could be read, and diagnostics ART100 to ART118. No layer when there is no svg element.</returns>
    /// <exception cref="OperationCanceledException">Asked for.</exception>
    public static Outcome<LayerImage> Read(SourceText source, ReadLimits limits, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(source);
        var sink = new SvgDiagnosticSink(source, limits.MaxDiagnostics);
        var document = SvgLoader.Load(source, limits, sink, cancellationToken);
        if (document.Root is not { } root)
        {
            sink.Error(SvgCodes.NoSvgRoot, 0, "The file holds no svg element; check that it is an SVG plot.");
            return new Outcome<LayerImage>(null, sink.ToImmutable());
        }

        var page = SvgPage.Of(root, sink);
        var styler = new SvgStyler(SvgStyleSheet.Read(document, sink), sink);
        var painter = new SvgPainter(document, styler, sink, limits, cancellationToken);
        var objects = painter.Paint(root, page);
        var islands = ImageComposer.Compose(objects, cancellationToken);
        if (objects.IsEmpty)
        {
            sink.Note(SvgCodes.NothingPainted, root.Offset, "The plot paints nothing; if the layer should hold shapes, check what was exported.");
        }

        var image = new LayerImage
        {
            Source = source,
            Format = ArtworkFormat.Svg,
            Unit = page.Unit,
            Objects = objects,
            Islands = islands,
        };
        return new Outcome<LayerImage>(image, sink.ToImmutable());
    }
}

/// <summary>The page: how big it is and how its user units become millimetres with y up.</summary>
/// <param name="ToMillimetres">From the root's user space.</param>
/// <param name="Viewport">What percentages refer to.</param>
/// <param name="Unit">The unit of its size.</param>
internal sealed record SvgPage(Affine2 ToMillimetres, SvgBox Viewport, ArtworkUnit Unit)
{
    /// <summary>Works out the page of a root element.</summary>
    public static SvgPage Of(SvgElement root, SvgDiagnosticSink sink)
    {
        var hasWidth = SvgUnits.TryPhysical(root.Attribute("width"), out var widthMm, out var unit) && widthMm > 0;
        var hasHeight = SvgUnits.TryPhysical(root.Attribute("height"), out var heightMm, out var heightUnit) && heightMm > 0;
        var hasBox = SvgUnits.TryViewBox(root.Attribute("viewBox"), out var box);
        if (!hasBox && root.Attribute("viewBox") is { } text)
        {
            sink.Error(SvgCodes.BadValue, root.Offset, $"The viewBox '{SvgText.Short(text)}' is not four numbers with a size above zero, so the scale is not known; export the plot again.");
        }

        if (!hasWidth && !hasHeight)
        {
            (widthMm, heightMm) = (box.Width * SvgUnits.MillimetresPerPixel, box.Height * SvgUnits.MillimetresPerPixel);
        }
        else if (!hasWidth)
        {
            (widthMm, unit) = (hasBox ? heightMm * box.Width / box.Height : heightMm, heightUnit);
        }
        else if (!hasHeight)
        {
            heightMm = hasBox ? widthMm * box.Height / box.Width : widthMm;
        }

        if (unit is "" or "px" or "%" || (!hasWidth && !hasHeight))
        {
            sink.Warn(SvgCodes.UnitAssumed, root.Offset, "The page has no physical size, so 96 units were taken for an inch; give width and height in mm, or check a known distance.");
        }

        if (!hasBox)
        {
            box = new SvgBox(0, 0, widthMm / SvgUnits.MillimetresPerPixel, heightMm / SvgUnits.MillimetresPerPixel);
        }

        var fit = Fit(root, box, hasBox, widthMm, heightMm, sink);
        var up = new Affine2(1, 0, 0, 0, -1, heightMm);
        return new SvgPage(up * fit, box, unit is "in" or "pt" or "pc" ? ArtworkUnit.Inch : ArtworkUnit.Millimetre);
    }

    private static Affine2 Fit(SvgElement root, SvgBox box, bool hasBox, double widthMm, double heightMm, SvgDiagnosticSink sink)
    {
        if (!hasBox || box.Width <= 0 || box.Height <= 0)
        {
            return Affine2.Scale(SvgUnits.MillimetresPerPixel, SvgUnits.MillimetresPerPixel);
        }

        var aspect = root.Attribute("preserveAspectRatio");
        var (sx, sy) = (widthMm / box.Width, heightMm / box.Height);
        if (Math.Abs(sx - sy) <= 1e-3 * Math.Max(sx, sy))
        {
            // Sizes written with few digits differ a little by axis. The larger side knows the scale best, and the
            // page's own top left corner stays where it is in every plot of the same page.
            var scale = widthMm >= heightMm ? sx : sy;
            return new Affine2(scale, 0, -box.X * scale, 0, scale, -box.Y * scale);
        }

        var stretched = aspect is not null && aspect.Contains("none", StringComparison.Ordinal);
        var text = string.Create(CultureInfo.InvariantCulture, $"The page's size and its viewBox disagree by {Math.Abs(sx - sy) / Math.Max(sx, sy) * 100:0.0} %, so {(stretched ? "the drawing is stretched" : "there are margins on the page")}; check a known distance.");
        sink.Warn(SvgCodes.PageStretched, root.Offset, text);
        return SvgUnits.FitViewBox(box, widthMm, heightMm, aspect);
    }
}
