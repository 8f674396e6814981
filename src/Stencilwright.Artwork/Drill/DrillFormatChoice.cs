using System.Globalization;
using Stencilwright.Artwork.Gerber;
using Stencilwright.Foundation;

namespace Stencilwright.Artwork.Drill;

/// <summary>Settles unit, zeros and digits: from what is stated, then from what else says so, then from what fits; and tells which.</summary>
internal sealed class DrillFormatChoice(
    SourceText source, DrillEvidence evidence, DrillHints hints, ReadLimits limits, GerberDiagnostics diagnostics, CancellationToken cancellationToken)
{
    // A reading must be better than the customary one by this much to be taken instead.
    private const double Margin = 0.25;

    public DrillFormat Choose()
    {
        var unit = ChooseUnit();
        var zeros = evidence.Zeros ?? hints.Zeros;
        if (evidence.WithoutPoint == 0)
        {
            var (integers, decimals) = evidence.Digits is { } said ? (said.Integers, said.Decimals) : Customary(unit);
            return new DrillFormat(unit, zeros ?? DrillZeros.TrailingKept, integers, decimals);
        }

        if (evidence.Digits is { } stated)
        {
            if (stated.IsComment)
            {
                diagnostics.Add(DrillCodes.FormatTold, Severity.Note, stated.Offset, string.Create(
                    CultureInfo.InvariantCulture, $"The number format {stated.Integers}.{stated.Decimals} was taken from this comment; nothing to do."));
            }

            return Checked(WithZeros(unit, zeros, stated.Integers, stated.Decimals));
        }

        if (hints.Digits is { } beside)
        {
            diagnostics.Add(DrillCodes.FormatTold, Severity.Note, 0, string.Create(
                CultureInfo.InvariantCulture, $"The number format {beside.Integers}.{beside.Decimals} was taken from {hints.From}, which lies beside the file; nothing to do."));
            return Checked(WithZeros(unit, zeros, beside.Integers, beside.Decimals));
        }

        return Guess(unit, zeros);
    }

    private ArtworkUnit ChooseUnit()
    {
        if (evidence.Unit is { } stated)
        {
            if (evidence.ContradictionOffset >= 0)
            {
                diagnostics.Warn(DrillCodes.Contradiction, evidence.ContradictionOffset, string.Create(
                    CultureInfo.InvariantCulture, $"Two statements of the unit contradict each other; the first one, {Name(stated.Unit)}, was used, so check a known distance."));
            }

            return stated.Unit;
        }

        if (evidence.CommentUnit is { } said)
        {
            diagnostics.Warn(DrillCodes.UnitGuessed, said.Offset, $"The file does not state its unit; {Name(said.Unit)} were taken from this comment, so check a known distance.");
            return said.Unit;
        }

        if (hints.Unit is { } beside)
        {
            diagnostics.Warn(DrillCodes.UnitGuessed, 0, $"The file does not state its unit; {Name(beside)} were taken from {hints.From}, so check a known distance.");
            return beside;
        }

        // No drill of 0.1 mm is used on boards, and a smallest one of 0.1 inch on none.
        var unit = evidence.SmallestTool is > 0 and < 0.1 ? ArtworkUnit.Inch : ArtworkUnit.Millimetre;
        var why = evidence.SmallestTool > 0
            ? string.Create(CultureInfo.InvariantCulture, $"because its smallest tool is {evidence.SmallestTool} of them")
            : "because nothing speaks for another";
        diagnostics.Warn(DrillCodes.UnitGuessed, 0, $"The file does not state its unit; {Name(unit)} were assumed {why}, so check a known distance.");
        return unit;
    }

    private static string Name(ArtworkUnit unit) => unit == ArtworkUnit.Inch ? "inches" : "millimetres";

    private static (int Integers, int Decimals) Customary(ArtworkUnit unit) => unit == ArtworkUnit.Inch ? (2, 4) : (3, 3);

    // With the digits known, zeros matter only where numbers are shorter than they could be.
    private DrillFormat WithZeros(ArtworkUnit unit, DrillZeros? zeros, int integers, int decimals)
    {
        if (zeros is { } known)
        {
            return new DrillFormat(unit, known, integers, decimals);
        }

        if (evidence.FewestDigits >= integers + decimals)
        {
            return new DrillFormat(unit, DrillZeros.TrailingKept, integers, decimals);
        }

        var looks = LookOfZeros();
        SayZeros(looks);
        return new DrillFormat(unit, looks, integers, decimals);
    }

    // Whoever leaves leading zeros out never begins a number with one, and the same for trailing ones.
    private DrillZeros LookOfZeros() =>
        evidence.WithLeadingZero > 0 && evidence.WithLeadingZero >= evidence.WithTrailingZero ? DrillZeros.LeadingKept : DrillZeros.TrailingKept;

    private void SayZeros(DrillZeros zeros) => diagnostics.Warn(DrillCodes.ZerosGuessed, 0, zeros == DrillZeros.LeadingKept
        ? "The file does not state which zeros it leaves out; because numbers begin with zeros, trailing ones were taken to be left out (LZ), so check a known distance."
        : "The file does not state which zeros it leaves out; leading ones were taken to be left out (TZ), so check a known distance.");

    private DrillFormat Guess(ArtworkUnit unit, DrillZeros? statedZeros)
    {
        var isZeroless = evidence.IsFixedLength && (evidence.WithLeadingZero > 0 || statedZeros is null);
        var zeros = statedZeros ?? (isZeroless ? DrillZeros.TrailingKept : LookOfZeros());
        if (statedZeros is null && !isZeroless && evidence.WithoutPoint > 0 && evidence.FewestDigits < evidence.MostDigits)
        {
            SayZeros(zeros);
        }

        var candidates = new List<(int Integers, int Decimals)>();
        if (isZeroless)
        {
            FixedLength(unit, evidence.MostDigits, candidates);
        }
        else if (zeros == DrillZeros.TrailingKept)
        {
            // Only the digits after the point count.
            candidates.AddRange(unit == ArtworkUnit.Inch ? [(2, 4), (2, 5), (2, 3), (2, 6)] : [(3, 3), (3, 2), (4, 4), (4, 1)]);
        }
        else
        {
            candidates.AddRange(unit == ArtworkUnit.Inch ? [(2, 4), (3, 5), (1, 5)] : [(3, 3), (4, 4), (2, 4), (5, 3)]);
        }

        return Best(unit, zeros, candidates);
    }

    // Numbers that are all of one length have all their digits.
    private void FixedLength(ArtworkUnit unit, int length, List<(int Integers, int Decimals)> candidates)
    {
        if (evidence.ToolDigits is { } tool && tool.Integers + tool.Decimals == length)
        {
            candidates.Add(tool);
        }

        var usual = unit == ArtworkUnit.Inch
            ? length switch { <= 5 => 3, 6 => 4, 7 => 5, 8 => 5, _ => 6 }
            : length switch { <= 5 => 2, 6 => 3, 7 => 3, 8 => 4, _ => 6 };
        candidates.Add((length - usual, usual));
        candidates.Add((length - usual - 1, usual + 1));
        candidates.Add((length - usual + 1, usual - 1));
    }

    private DrillFormat Best(ArtworkUnit unit, DrillZeros zeros, List<(int Integers, int Decimals)> candidates)
    {
        DrillFormat? best = null;
        var (least, width, height) = (double.PositiveInfinity, 0.0, 0.0);
        foreach (var (integers, decimals) in candidates)
        {
            if (integers < 0 || decimals < 0)
            {
                continue;
            }

            var format = new DrillFormat(unit, zeros, integers, decimals);
            var doubt = DrillPlausibility.Doubt(Try(format), out var w, out var h, out _);
            if (best is null || doubt < least - Margin)
            {
                (best, least, width, height) = (format, doubt, w, h);
            }
        }

        diagnostics.Warn(DrillCodes.FormatGuessed, 0, string.Create(
            CultureInfo.InvariantCulture,
            $"The file does not state its number format; {best!.IntegerDigits}.{best.DecimalDigits} was taken as {(best.IntegerDigits, best.DecimalDigits) switch { var d when d == candidates[0] => "usual", _ => "the likeliest" }}, by which its holes span {width:0.##} by {height:0.##} mm, so check that against the board."));
        return best;
    }

    private DrillFormat Checked(DrillFormat format)
    {
        DrillPlausibility.Doubt(Try(format), out var width, out var height, out var overlapShare);
        if (overlapShare > 0.25)
        {
            diagnostics.Warn(DrillCodes.Implausible, 0, string.Create(
                CultureInfo.InvariantCulture,
                $"Read as stated, the holes span {width:0.##} by {height:0.##} mm and {overlapShare * 100:0} % of them reach into their neighbour, so the stated format or unit may be wrong; check it against the board."));
        }

        return format;
    }

    private DrillDocument Try(DrillFormat format) =>
        new DrillParser(source, format, evidence, hints, limits, new GerberDiagnostics(source, 0)).Parse(cancellationToken);
}
