using System.Collections.Immutable;
using Stencilwright.Artwork;
using Stencilwright.Artwork.Drill;
using Stencilwright.Artwork.Gerber;
using Stencilwright.Artwork.Svg;
using Stencilwright.Boards.Checks;
using Stencilwright.Boards.Roles;
using Stencilwright.Foundation;

namespace Stencilwright.Workbench;

/// <summary>A file of the artwork on its way through a job: what it is, what it is for, and its image once somebody needed it.</summary>
internal sealed class ArtworkFile(SourceText source, ArtworkFormat? format, RoleGuess guess)
{
    // More threads than this gain nothing on the machines this runs on, and memory grows with each.
    private const int MostThreads = 2;

    private Outcome<LayerImage>? _painted;

    public SourceText Source => source;

    public ArtworkFormat? Format => format;

    /// <summary>What it was taken for; settled once the whole package is known.</summary>
    public RoleGuess Guess { get; set; } = guess;

    public LayerRole Role => Guess.Role;

    /// <summary>The final image; null when it was not asked for, cannot be read, or the format holds none.</summary>
    public LayerImage? Image => _painted?.Value;

    /// <summary>What it paints, object by object, for holding layers against one another; null when it was not asked for or holds none.</summary>
    public PaintedLayer? Layer { get; private set; }

    /// <summary>What the reader said; empty until the image was asked for.</summary>
    public ImmutableArray<Diagnostic> Diagnostics => _painted?.Diagnostics ?? [];

    /// <summary>Whether it is a layer, with an image to be had.</summary>
    public bool IsImage => format is ArtworkFormat.Gerber or ArtworkFormat.Svg;

    /// <summary>What lies beside a drill file and speaks of its numbers.</summary>
    public DrillHints? DrillHints { get; init; }

    /// <summary>The format in the contract's words; empty when it is none.</summary>
    public string FormatText => format switch
    {
        ArtworkFormat.Gerber => "gerber",
        ArtworkFormat.NcDrill => "nc-drill",
        ArtworkFormat.Svg => "svg",
        ArtworkFormat.Ipc2581 => "ipc-2581",
        ArtworkFormat.Placement => "placement",
        _ => "",
    };

    /// <summary>Works out the images of files that have none yet. The result does not depend on which thread is faster.</summary>
    public static void Paint(IEnumerable<ArtworkFile> files, CancellationToken cancellation)
    {
        var waiting = files.Where(f => (f.IsImage || f.Format == ArtworkFormat.NcDrill) && f._painted is null).Distinct().ToList();
        // The largest first, so that no thread ends up alone with it.
        waiting.Sort(static (a, b) => b.Source.Bytes.Length.CompareTo(a.Source.Bytes.Length));
        if (waiting.Count == 1)
        {
            waiting[0].Paint(cancellation);
            return;
        }

        Parallel.ForEach(
            waiting, new ParallelOptions { MaxDegreeOfParallelism = MostThreads, CancellationToken = cancellation }, file => file.Paint(cancellation));
    }

    /// <summary>Works out the objects of files alone: their final images cost more than everything else, and checks do not need them.</summary>
    public static void Sketch(IEnumerable<ArtworkFile> files, CancellationToken cancellation) => Parallel.ForEach(
        files.Where(f => f.IsImage && f.Layer is null).Distinct(),
        new ParallelOptions { MaxDegreeOfParallelism = MostThreads, CancellationToken = cancellation },
        file => file.Sketch(cancellation));

    private void Sketch(CancellationToken cancellation)
    {
        if (Image is null && format == ArtworkFormat.Gerber)
        {
            if (GerberReader.Read(source, ReadLimits.Default, cancellation).Value is { } document
                && GerberImage.Paint(document, ReadLimits.Default, cancellation).Value is { } painted)
            {
                Layer = PaintedLayer.Of(painted);
            }

            return;
        }

        if (_painted is null)
        {
            Paint(cancellation);
        }

        Layer = Image is { } image ? PaintedLayer.Of(image) : null;
    }

    private void Paint(CancellationToken cancellation)
    {
        if (format == ArtworkFormat.Svg)
        {
            _painted = SvgReader.Read(source, ReadLimits.Default, cancellation);
            return;
        }

        if (format == ArtworkFormat.NcDrill)
        {
            _painted = PaintHoles(cancellation);
            return;
        }

        var read = GerberReader.Read(source, ReadLimits.Default, cancellation);
        if (read.Value is not { } document)
        {
            _painted = new Outcome<LayerImage>(null, read.Diagnostics);
            return;
        }

        var image = GerberImage.Compose(document, ReadLimits.Default, cancellation);
        _painted = new Outcome<LayerImage>(image.Value, read.Diagnostics.AddRange(image.Diagnostics));
    }

    private Outcome<LayerImage> PaintHoles(CancellationToken cancellation)
    {
        var read = DrillReader.Read(source, ReadLimits.Default, cancellation, DrillHints);
        if (read.Value is not { } document)
        {
            return new Outcome<LayerImage>(null, read.Diagnostics);
        }

        var image = DrillImage.Compose(document, ReadLimits.Default, cancellation);
        return new Outcome<LayerImage>(image.Value, read.Diagnostics.AddRange(image.Diagnostics));
    }
}
