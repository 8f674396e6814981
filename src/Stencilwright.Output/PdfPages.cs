using System.Globalization;
using System.Text;
using SkiaSharp;
using Stencilwright.Output.Drawing;

namespace Stencilwright.Output;

/// <summary>Makes PDF files of pages drawn in millimetres, without dates, that ask to be printed at their true size.</summary>
internal sealed class PdfPages : IDisposable
{
    private const float PointsPerMm = 72 / 25.4f;
    private readonly MemoryStream _stream = new();
    private readonly SKDocument _document;

    public PdfPages(string title, string version)
    {
        var metadata = new SKDocumentPdfMetadata(300)
        {
            Title = title,
            Creator = "Stencilwright " + version,
            Producer = "Stencilwright",
            Creation = null,
            Modified = null,
        };
        _document = SKDocument.CreatePdf(_stream, metadata);
    }

    /// <summary>Draws a page.</summary>
    public void Add(double widthMm, double heightMm, Action<Pad> draw)
    {
        var canvas = _document.BeginPage((float)(widthMm * PointsPerMm), (float)(heightMm * PointsPerMm));
        canvas.Scale(PointsPerMm);
        using (var pad = new Pad(canvas))
        {
            draw(pad);
        }

        _document.EndPage();
    }

    /// <summary>The finished file.</summary>
    public byte[] ToBytes()
    {
        _document.Close();
        return WithoutScaling(_stream.ToArray());
    }

    public void Dispose()
    {
        _document.Dispose();
        _stream.Dispose();
    }

    /// <summary>
    /// Appends a new catalogue that says /PrintScaling /None, so that print dialogues start at 100 %.
    /// Source: ISO 32000-1, 7.5.6 (incremental updates) and table 150 (viewer preferences).
    /// </summary>
    private static byte[] WithoutScaling(byte[] pdf)
    {
        // The drawing library writes a classic cross-reference table and trailer at the end of the file.
        var tailStart = Math.Max(0, pdf.Length - 2048);
        var tail = Encoding.Latin1.GetString(pdf, tailStart, pdf.Length - tailStart);
        var trailerAt = tail.LastIndexOf("trailer", StringComparison.Ordinal);
        var open = trailerAt < 0 ? -1 : tail.IndexOf("<<", trailerAt, StringComparison.Ordinal);
        var startAt = tail.LastIndexOf("startxref", StringComparison.Ordinal);
        var close = startAt < 0 ? -1 : tail.LastIndexOf(">>", startAt, StringComparison.Ordinal);
        var root = close < 0 ? -1 : tail.IndexOf("/Root ", open, StringComparison.Ordinal);
        if (open < 0 || close < open || root < 0)
        {
            throw new InvalidOperationException("The PDF does not end as expected.");
        }

        var trailer = tail[(open + 2)..close].Trim();
        var number = Digits(tail, root + 6);
        var previous = Digits(tail, startAt + "startxref".Length);
        var objectAt = pdf.AsSpan().LastIndexOf(Encoding.Latin1.GetBytes($"\n{number} 0 obj"));
        var whole = Encoding.Latin1.GetString(pdf, objectAt + 1, Math.Min(4096, pdf.Length - objectAt - 1));
        var body = whole[(whole.IndexOf("<<", StringComparison.Ordinal) + 2)..whole.IndexOf("endobj", StringComparison.Ordinal)];
        body = body[..body.LastIndexOf(">>", StringComparison.Ordinal)].Trim();

        var gap = pdf[^1] == '\n' ? "" : "\n";
        var offset = pdf.Length + gap.Length;
        var added = $"{gap}{number} 0 obj\n<<{body}\n/ViewerPreferences <</PrintScaling /None>>>>\nendobj\n";
        var table = pdf.Length + added.Length;
        added += string.Create(
            CultureInfo.InvariantCulture,
            $"xref\n{number} 1\n{offset:D10} 00000 n \ntrailer\n<<{trailer}\n/Prev {previous}>>\nstartxref\n{table}\n%%EOF\n");
        return [.. pdf, .. Encoding.Latin1.GetBytes(added)];
    }

    private static string Digits(string text, int from)
    {
        while (char.IsWhiteSpace(text[from]))
        {
            from++;
        }

        var end = from;
        while (char.IsAsciiDigit(text[end]))
        {
            end++;
        }

        return text[from..end];
    }
}
