using System.Collections.Immutable;
using Stencilwright.Artwork;
using Stencilwright.Artwork.Drill;
using Stencilwright.Boards.Roles;
using Stencilwright.Foundation;
using Stencilwright.Workbench.Packages;

namespace Stencilwright.Workbench;

/// <summary>Turns paths into files with formats and roles.</summary>
internal static class ArtworkGathering
{
    /// <summary>Reads the paths, tells formats and roles, and paints the layers that compete for paste and outline.</summary>
    /// <returns>Files ordered by name, and what was said about paths and roles.</returns>
    public static (ImmutableArray<ArtworkFile> Files, ImmutableArray<Diagnostic> Diagnostics) Gather(JobRequest request, Func<Stream> openInput)
    {
        var diagnostics = ImmutableArray.CreateBuilder<Diagnostic>();
        using var input = request.Paths.Contains(PackageReader.StandardInput) ? openInput() : null;
        var package = PackageReader.Read(request.Paths, input, PackageLimits.Default, CancellationToken.None);
        diagnostics.AddRange(package.Diagnostics);
        List<SourceText> sources = package.Value is null ? [] : package.Value.Files.Select(f => f.Source).ToList();
        sources.Sort(static (a, b) => string.CompareOrdinal(a.Name, b.Name));
        var hints = RoleHints.None;
        foreach (var source in sources.Where(s => RoleHints.IsHintFile(s.Name)))
        {
            hints = hints.With(source.Name, source.Bytes);
        }

        var drillHints = new Dictionary<string, DrillHints>(StringComparer.Ordinal);
        foreach (var source in sources)
        {
            if (DrillHints.Read(source) is { } beside)
            {
                drillHints.TryAdd(FolderOf(source.Name), beside);
            }
        }

        var files = sources.SelectMany(IEnumerable<ArtworkFile> (source) =>
        {
            var head = source.Bytes[..Math.Min(source.Bytes.Length, RoleFinder.HeadBytes)];
            var format = RoleHints.IsHintFile(source.Name) ? null : FormatSniffer.Sniff(head.Span);
            if (format == ArtworkFormat.Ipc2581)
            {
                return WholeBoardFile.Expand(source, CancellationToken.None);
            }

            return
            [
                new ArtworkFile(source, format, RoleFinder.Find(source.Name, format, head, null, hints))
                {
                    DrillHints = format == ArtworkFormat.NcDrill ? drillHints.GetValueOrDefault(FolderOf(source.Name)) : null,
                },
            ];
        }).ToImmutableArray();
        diagnostics.AddRange(files.Select(Impostor).OfType<Diagnostic>());
        if (!files.IsEmpty)
        {
            Settle(files, request, diagnostics);
        }

        return (files, diagnostics.ToImmutable());
    }

    /// <summary>A title for a job whose settings give none: the package's name without folders and extension.</summary>
    public static string TitleOf(string path)
    {
        var name = path is "-" or "" ? "" : Path.GetFileNameWithoutExtension(Path.TrimEndingDirectorySeparator(Path.GetFullPath(path)));
        return name.Length == 0 ? "board" : name;
    }

    private static string FolderOf(string name) => name[..(name.LastIndexOf('/') + 1)];

    // A file whose name says paste or outline and whose content says nothing is damaged, and must not go by in silence.
    private static Diagnostic? Impostor(ArtworkFile file)
    {
        if (file.Format is not null || RoleHints.IsHintFile(file.Source.Name))
        {
            return null;
        }

        var role = RoleFinder.Find(file.Source.Name, ArtworkFormat.Gerber, ReadOnlyMemory<byte>.Empty).Role;
        var part = role switch
        {
            LayerRole.PasteTop or LayerRole.PasteBottom or LayerRole.Outline => "a paste layer or an outline",
            LayerRole.DrillPlated or LayerRole.DrillNonplated => "drill data",
            LayerRole.Placement => "a placement list",
            _ => null,
        };
        if (part is null)
        {
            return null;
        }

        var what = file.Source.Bytes.IsEmpty ? "is empty" : "holds nothing of the kind";
        return new Diagnostic(
            "PKG096",
            Severity.Warning,
            $"its name says that it is {part}, but it {what}, so it was left out; export it again.",
            SourcePlace.Whole(file.Source.Name));
    }

    // Which of several candidates keeps a role depends on what they hold, so candidates for paste and outline are painted first.
    private static void Settle(ImmutableArray<ArtworkFile> files, JobRequest request, ImmutableArray<Diagnostic>.Builder diagnostics)
    {
        var given = new Dictionary<string, LayerRole>(StringComparer.OrdinalIgnoreCase);
        foreach (var (file, role) in request.Roles)
        {
            given[file] = LayerRoles.Parse(role) ?? throw new ArgumentException($"There is no role {role}.", nameof(request));
        }

        var asked = Resolve(files, given);
        ArtworkFile.Paint(
            files.Where((f, i) => IsNeeded(f.Guess.Role) || IsNeeded(asked.Guesses[i].Role)),
            CancellationToken.None);
        var settled = Resolve(files, given);
        for (var i = 0; i < files.Length; i++)
        {
            files[i].Guess = settled.Guesses[i];
        }

        diagnostics.AddRange(settled.Diagnostics);
    }

    private static RoleResolution Resolve(ImmutableArray<ArtworkFile> files, Dictionary<string, LayerRole> given) =>
        RoleResolver.Resolve([.. files.Select(f => new RoleCandidate(f.Source.Name, f.Format, f.Guess, f.Image))], given);

    private static bool IsNeeded(LayerRole role) => role is LayerRole.PasteTop or LayerRole.PasteBottom or LayerRole.Outline;
}
