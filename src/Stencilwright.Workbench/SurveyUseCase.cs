using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Artwork;
using Stencilwright.Artwork.Placement;
using Stencilwright.Boards;
using Stencilwright.Boards.Roles;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Workbench;

/// <summary>Says what the artwork holds. Writes nothing.</summary>
public static class SurveyUseCase
{
    /// <summary>Reads every file and works out every image.</summary>
    /// <param name="request">Paths, roles and settings.</param>
    /// <param name="openInput">Opens standard input, when a path is <c>-</c>.</param>
    /// <param name="progress">Takes a few words at each step.</param>
    public static SurveyResult Run(JobRequest request, Func<Stream> openInput, IProgress<string> progress)
    {
        ArgumentNullException.ThrowIfNull(request);
        ArgumentNullException.ThrowIfNull(openInput);
        ArgumentNullException.ThrowIfNull(progress);
        progress.Report("Reading the artwork…");
        var (files, diagnostics) = ArtworkGathering.Gather(request, openInput);
        progress.Report(string.Create(CultureInfo.InvariantCulture, $"Working out {files.Length} files…"));
        ArtworkFile.Paint(files, CancellationToken.None);
        _ = JobSources.Placements(files, CancellationToken.None);
        var board = BoardSearch.In(files, request.Settings.OutlineGapMm, CancellationToken.None);
        var surveyed = files.Select(f => Survey(f, board)).ToImmutableArray();
        var failed = diagnostics.Concat(surveyed.SelectMany(f => f.Diagnostics)).Any(d => d.Severity == Severity.Error);
        // Without paste and without any file that was meant to be an edge nobody missed the outline.
        var findings = files.Any(f => f.IsImage) ? board.Findings : [];
        return new SurveyResult
        {
            Files = surveyed,
            Board = board.Outline,
            Diagnostics = diagnostics,
            Findings = findings,
            ExitCode = failed ? ExitCodes.BadInput : ExitCodes.ForFindings(findings, diagnostics.Concat(surveyed.SelectMany(f => f.Diagnostics)), request.FailOn),
        };
    }

    internal static SurveyFile Survey(ArtworkFile file, BoardSearch? board)
    {
        var (image, parts) = (file.Image, file.Parts);
        return new SurveyFile
        {
            File = file.Source.Name,
            Format = file.FormatText,
            Role = file.Role.ToText(),
            Why = file.Guess.Why,
            Units = (image?.Unit ?? parts?.Unit) switch { null => null, ArtworkUnit.Inch => "inch", _ => "mm" },
            BoundsMm = image?.Bounds ?? BoundsOf(parts),
            FeatureCount = image?.Objects.Length ?? parts?.Parts.Length ?? 0,
            IslandCount = image?.Islands.Length ?? 0,
            PaintedAreaMm2 = image?.PaintedAreaMm2 ?? 0,
            SetAside = file.Role is LayerRole.PasteTop or LayerRole.PasteBottom ? SetAside(image, board?.Outline) : null,
            Diagnostics = file.Diagnostics,
        };
    }

    private static Bounds2 BoundsOf(PlacementList? list)
    {
        var box = Bounds2.Empty;
        foreach (var part in list?.Parts ?? [])
        {
            box = box.Include(part.At);
        }

        return box;
    }

    private static SetAsideSummary SetAside(LayerImage? image, BoardOutline? outline)
    {
        if (image is null)
        {
            return new SetAsideSummary(0, 0, "");
        }

        var aside = PasteSorter.Sort(image, outline).SetAside;
        var why = string.Join("; ", aside.GroupBy(a => a.Reason).OrderBy(g => g.Key).Select(g => string.Create(
            CultureInfo.InvariantCulture, $"{g.Count()} {Words(g.Key)}")));
        return new SetAsideSummary(aside.Length, aside.Sum(a => a.Shape.AreaMm2), why);
    }

    private static string Words(SetAsideReason reason) => reason switch
    {
        SetAsideReason.OutsideOutline => "outside the board's outline",
        SetAsideReason.Writing => "thin writing or a logo",
        _ => "the board's own edge",
    };
}
