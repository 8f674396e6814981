namespace Stencilwright.Output;

/// <summary>Writes one row an opening as CSV (RFC 4180 quoting, LF line ends, UTF-8 without a byte-order mark).</summary>
public static class ApertureCsvWriter
{
    private const string Header = "id,xMm,yMm,widthMm,heightMm,rotationDeg,artworkAreaMm2,designAreaMm2,asCutAreaMm2,beamLostAreaMm2,beamExtraAreaMm2,beamCornerGapMm,entryAreaMm2,wallAreaMm2,areaRatio,"
        + "aspectRatio,webMm,edgeMm,webPeakC,transferEfficiency,transferEfficiencySpread,pasteVolumeMm3,pasteMassG,metalVolumeMm3,narrowestWidthMm,powderBalls,doubts,component,pin,rule,change,verdict\n";

    /// <summary>Writes a side's table; column names are those of <c>report.json</c>, unknown values are empty.</summary>
    /// <exception cref="ArgumentException">Design and plan do not have the same openings.</exception>
    public static byte[] Write(JobSide side)
    {
        ArgumentNullException.ThrowIfNull(side);
        var text = new PlainText(64 * 1024);
        text.Add(Header);
        foreach (var row in OpeningRow.Of(side))
        {
            var (design, cut) = (row.Design, row.AsCut);
            Text(text, design.Id);
            Number(text, row.Centre?.X);
            Number(text, row.Centre?.Y);
            Number(text, row.WidthMm);
            Number(text, row.HeightMm);
            Number(text, design.RotationDeg);
            Number(text, design.Artwork.AreaMm2);
            Number(text, design.Design.AreaMm2);
            Number(text, cut.AreaMm2);
            Number(text, cut.LostAreaMm2);
            Number(text, cut.ExtraAreaMm2);
            Number(text, cut.CornerGapMm);
            Number(text, cut.EntryAreaMm2);
            Number(text, cut.WallAreaMm2);
            Number(text, cut.AreaRatio);
            Number(text, cut.AspectRatio);
            Number(text, cut.WebMm);
            Number(text, row.EdgeMm(side.Design.FilmBlank));
            Number(text, cut.WebHeat?.PeakC);
            Number(text, cut.TransferEfficiency);
            Number(text, cut.Print.TransferSpread);
            Number(text, cut.PasteVolumeMm3);
            Number(text, cut.Print.PasteMassG);
            Number(text, cut.Print.MetalVolumeMm3);
            Number(text, cut.Form.WidthMm);
            Number(text, cut.Print.PowderBalls);
            text.Add(',').Add(string.Join(' ', PartWords.Doubts(cut.Print.Doubts)));
            text.Add(',');
            Text(text, design.Component ?? "");
            text.Add(',');
            Text(text, design.Pin ?? "");
            text.Add(',');
            Text(text, design.Rule);
            text.Add(',');
            Text(text, design.Change);
            text.Add(',').Add(OpeningRow.Word(cut.Verdict)).Add('\n');
        }

        return text.ToBytes();
    }

    private static void Number(PlainText text, double? value)
    {
        text.Add(',');
        if (value is { } number && double.IsFinite(number))
        {
            text.Add(number);
        }
    }

    private static void Text(PlainText text, string field)
    {
        // A spreadsheet takes a field that begins like a formula for one, and runs it; the apostrophe makes it words.
        if (field.Length > 0 && "=+-@\t\r\n".Contains(field[0], StringComparison.Ordinal))
        {
            field = "'" + field;
        }

        if (field.AsSpan().ContainsAny(",\"\r\n"))
        {
            text.Add('"').Add(field.Replace("\"", "\"\"", StringComparison.Ordinal)).Add('"');
        }
        else
        {
            text.Add(field);
        }
    }
}
