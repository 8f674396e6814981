using System.Collections.Immutable;
using System.Security.Cryptography;
using Stencilwright.Artwork;
using Stencilwright.Artwork.Drill;
using Stencilwright.Artwork.Gerber;
using Stencilwright.Artwork.Placement;
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
    private Outcome<PlacementList>? _parts;
    private string? _sha256;

    public SourceText Source => source;

    public ArtworkFormat? Format => format;

    /// <summary>What it was taken for; settled once the whole package is known.</summary>
    public RoleGuess Guess { get; set; } = guess;

    public LayerRole Role => Guess.Role;

    /// <summary>The final image; null when it was not asked for, cannot be read, or the format holds none.</summary>
    public LayerImage? Image => _painted?.Value;

    /// <summary>What it paints, object by object, for holding layers against one another; null when it was not asked for or holds none.</summary>
    public PaintedLayer? Layer { get; private set; }

    /// <summary>The parts it places; null until <see cref="ReadParts"/>, and when it places none.</summary>
    public PlacementList? Parts => _parts?.Value;

    /// <summary>What the reader said when only the objects were asked for.</summary>
    public ImmutableArray<Diagnostic> SketchDiagnostics { get; private set; } = [];

    /// <summary>What the reader said; empty until the image or the parts were asked for.</summary>
    public ImmutableArray<Diagnostic> Diagnostics => [.. ReadDiagnostics, .. _painted?.Diagnostics ?? [], .. _parts?.Diagnostics ?? []];

    /// <summary>The same, with what was said of the file that it is a layer of.</summary>
    public ImmutableArray<Diagnostic> AllDiagnostics => Whole is null ? Diagnostics : [.. Whole.ReadDiagnostics, .. Diagnostics];

    /// <summary>Whether there is an image to be had.</summary>
    public bool IsImage => format is ArtworkFormat.Gerber or ArtworkFormat.Svg || PaintLayer is not null;

    /// <summary>The file that this is a layer of; null for a file of its own.</summary>
    public ArtworkFile? Whole { get; init; }

    /// <summary>Paints it, when it is a layer of a whole board's file.</summary>
    public Func<CancellationToken, Outcome<LayerImage>>? PaintLayer { get; init; }

    /// <summary>Lists the parts, when it is a whole board's file.</summary>
    public Func<CancellationToken, Outcome<PlacementList>>? ListParts { get; init; }

    /// <summary>What was said when it was read before anything was asked of it.</summary>
    public ImmutableArray<Diagnostic> ReadDiagnostics { get; init; } = [];

    /// <summary>SHA-256 of the bytes, in small hexadecimal digits.</summary>
    public string Sha256 => _sha256 ??= Whole?.Sha256 ?? Convert.ToHexStringLower(SHA256.HashData(source.Bytes.Span));

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
            var read = GerberReader.Read(source, ReadLimits.Default, cancellation);
            SketchDiagnostics = read.Diagnostics;
            if (read.Value is { } document)
            {
                var painted = GerberImage.Paint(document, ReadLimits.Default, cancellation);
                SketchDiagnostics = SketchDiagnostics.AddRange(painted.Diagnostics);
                Layer = painted.Value is { } artwork ? PaintedLayer.Of(artwork) : null;
            }

            return;
        }

        if (_painted is null)
        {
            Paint(cancellation);
        }

        Layer = Image is { } image ? PaintedLayer.Of(image) : null;
    }

    /// <summary>Reads the parts of a file that has the role of a placement list; a component layer must have been painted.</summary>
    public void ReadParts(CancellationToken cancellation)
    {
        if (_parts is not null || Role != LayerRole.Placement)
        {
            return;
        }

        _parts = this switch
        {
            { ListParts: { } list } => list(cancellation),
            { Image: { } image } => ComponentLayer.From(image, ReadLimits.Default),
            // Where a person says that it is one, the reader says what it lacks.
            { Format: null or ArtworkFormat.Placement } => PlacementReader.Read(source, ReadLimits.Default, cancellation),
            _ => null,
        };
    }

    private void Paint(CancellationToken cancellation)
    {
        if (PaintLayer is not null)
        {
            _painted = PaintLayer(cancellation);
            return;
        }

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
