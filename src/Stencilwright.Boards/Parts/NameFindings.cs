using System.Collections.Immutable;
using Stencilwright.Artwork.Placement;
using Stencilwright.Foundation;

namespace Stencilwright.Boards.Parts;

/// <summary>What there is to say about joining sources to parts.</summary>
internal sealed class NameFindings
{
    // References told in one sentence.
    private const int ToldAtOnce = 12;

    private readonly List<Finding> _findings = [];

    public ImmutableArray<Finding> All() => [.. _findings];

    public void Fit(PlacementList source, PlacementFit fit)
    {
        var figures = FormattableString.Invariant(
            $"{fit.Inliers} of {fit.Rows} places ({100 * fit.Share:0} %) then lie on the middle of a part or opening, {1000 * fit.ResidualRmsMm:0} µm from it (root mean square)");
        if (fit.IsDoubtful)
        {
            Add("BRD142", Severity.Warning, FormattableString.Invariant(
                $"The placement list fits the openings in more than one way ({fit.Inliers} and {fit.RivalInliers} of {fit.Rows} places); the first was taken: check the reference of a part you know, or give a list in the artwork's own coordinates."), source);
        }

        if (fit.IsIdentity)
        {
            return;
        }

        var ways = new List<string>();
        if (fit.ScaleFactor != 1)
        {
            ways.Add(FormattableString.Invariant($"multiplied by {fit.ScaleFactor:0.######} (its lengths are in another unit than it says)"));
        }

        if (fit.IsMirrored)
        {
            ways.Add("mirrored left to right");
        }

        if (fit.TurnDeg != 0)
        {
            ways.Add(FormattableString.Invariant($"turned by {fit.TurnDeg:0}°"));
        }

        ways.Add(FormattableString.Invariant($"moved by ({fit.Map.X0:0.###}, {fit.Map.Y0:0.###}) mm"));
        var isOnlyMoved = ways.Count == 1;
        Add("BRD140", isOnlyMoved ? Severity.Note : Severity.Warning,
            $"The placement list does not lie on the artwork as it stands; it was {string.Join(", ", ways)}: {figures}. Check one part you know.", source);
    }

    public void NoFit(PlacementList source, int rows) => Add("BRD141", Severity.Warning,
        $"The placement list ({rows} rows for this side) fits the openings in no unit, turn or mirror image; it was not used: check that it belongs to this board.", source);

    public void Elsewhere(PlacedPart row, BoardPart part, double distanceMm) => Add("BRD144", Severity.Warning,
        FormattableString.Invariant($"{row.Reference} lies {distanceMm:0.##} mm away from the openings that another source names {row.Reference}; the other source was kept: check which of them is of this revision."), row, part);

    public void TwoNames(PlacedPart row, BoardPart part, string kept) => Add("BRD144", Severity.Warning,
        $"One source names a part {kept}, another {row.Reference}; {kept} was kept: check which of them is of this revision.", row, part);

    public void Disagree(PlacedPart row, BoardPart part) => Add("BRD144", Severity.Warning,
        $"Sources disagree about {row.Reference}: {part.Value ?? "no value"} in {part.Package ?? "no package"} against {row.Value ?? "no value"} in {row.Package ?? "no package"}; the first was kept: check which of them is of this revision.", row, part);

    public void Package(PlacedPart row, BoardPart part, string package) => Add("BRD143", Severity.Warning,
        $"{row.Reference} is listed as {package}, but its openings are those of {(part.SizeImperial is null ? PartFindings.Words(part.Class) : $"{part.SizeImperial} (metric {part.SizeMetric})")}: check that the part fits its pads.", row, part);

    public void Unused(PlacementList source, ImmutableArray<PlacedPart> rows)
    {
        if (!rows.IsEmpty)
        {
            Add("BRD145", Severity.Note,
                $"{rows.Length} parts of the list have no openings on this side ({Names([.. rows.Select(r => r.Reference)])}): nothing to do if they are soldered otherwise or not at all.", source);
        }
    }

    public void Unnamed(ImmutableArray<BoardPart> parts)
    {
        if (!parts.IsEmpty)
        {
            var at = parts[0].Center;
            _findings.Add(new Finding
            {
                Code = "BRD146",
                Severity = Severity.Note,
                Message = FormattableString.Invariant(
                    $"{Counted.Of(parts.Length, "group of openings", "groups of openings")} ({Counted.Of(parts.Sum(p => p.Pads.Length), "opening")}) {Counted.Word(parts.Length, "has no name in any source and", "have no name in any source; the first")} lies at ({at.X:0.##}, {at.Y:0.##}): check that the list is complete."),
                XMm = Math.Round(at.X, 4),
                YMm = Math.Round(at.Y, 4),
            });
        }
    }

    private static string Names(ImmutableArray<string> names) =>
        string.Join(", ", names.Take(ToldAtOnce)) + (names.Length > ToldAtOnce ? $" and {names.Length - ToldAtOnce} more" : "");

    private void Add(string code, Severity severity, string message, PlacementList source) =>
        _findings.Add(new Finding { Code = code, Severity = severity, Message = message, Source = SourcePlace.Whole(source.Source.Name) });

    private void Add(string code, Severity severity, string message, PlacedPart row, BoardPart part) =>
        _findings.Add(new Finding
        {
            Code = code,
            Severity = severity,
            Message = message,
            Source = row.Place,
            XMm = Math.Round(part.Center.X, 4),
            YMm = Math.Round(part.Center.Y, 4),
        });
}
