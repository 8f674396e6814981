using Stencilwright.Artwork.Gerber;
using Stencilwright.Foundation;

namespace Stencilwright.Artwork.Drill;

/// <summary>Reads NC drill and rout data (the IPC-NC-349 family and XNC) in the dialects that are met.</summary>
public static class DrillReader
{
    /// <summary>Reads a file. Never throws for anything the file contains.</summary>
    /// <param name="source">Name and bytes.</param>
    /// <param name="limits">What a file may cost; of holes at most half a million are made.</param>
    /// <param name="cancellationToken">Looked at every few thousand lines.</param>
    /// <param name="hints">What lies beside the file and speaks of its numbers; what the file states itself goes before.</param>
    /// <returns>No value when the bytes are no drill data at all; otherwise as much as could be understood.</returns>
    /// <exception cref="OperationCanceledException">Cancelled by the caller.</exception>
    public static Outcome<DrillDocument> Read(SourceText source, ReadLimits limits, CancellationToken cancellationToken, DrillHints? hints = null)
    {
        ArgumentNullException.ThrowIfNull(source);
        var diagnostics = new GerberDiagnostics(source, limits.MaxDiagnostics, DrillCodes.MoreLeftOut);
        var bytes = source.Bytes.Span;
        var evidence = Refusal(bytes) is null ? DrillEvidence.Gather(bytes, cancellationToken) : null;
        if (evidence is null || (evidence.Signs == 0 && evidence.WithPoint + evidence.WithoutPoint == 0))
        {
            diagnostics.Error(DrillCodes.NotDrill, 0, Refusal(bytes) ?? "No command of drill data was found in the file, so it is something else; choose the board's drill file.");
            return new Outcome<DrillDocument>(null, diagnostics.ToImmutable());
        }

        var known = hints ?? DrillHints.None;
        var format = new DrillFormatChoice(source, evidence, known, limits, diagnostics, cancellationToken).Choose();
        var document = new DrillParser(source, format, evidence, known, limits, diagnostics).Parse(cancellationToken);
        if (document.Items.IsEmpty)
        {
            diagnostics.Add(DrillCodes.Nothing, Severity.Note, 0, "The file drills nothing; if the board has holes of this kind, export it again.");
        }

        return new Outcome<DrillDocument>(document, diagnostics.ToImmutable());
    }

    private static string? Refusal(ReadOnlySpan<byte> bytes)
    {
        if (bytes.TrimStart("\uFEFF\r\n \t%"u8).IsEmpty)
        {
            return "The file is empty, so there are no holes in it; export it again.";
        }

        if (bytes.Contains((byte)0))
        {
            return "The file holds zero bytes, so it is binary data or text saved as UTF-16 and not drill data; export it again as plain text.";
        }

        return FormatSniffer.Sniff(bytes) switch
        {
            ArtworkFormat.Gerber => "The file is a Gerber layer and not drill data; read it as a layer, or choose the board's drill file.",
            ArtworkFormat.Svg or ArtworkFormat.Ipc2581 => "The file is markup and not drill data; choose the board's drill file.",
            _ => null,
        };
    }
}
