using System.Collections.Immutable;
using Stencilwright.Artwork;
using Stencilwright.Artwork.Ipc2581;
using Stencilwright.Boards.Roles;
using Stencilwright.Foundation;
using Stencilwright.Workbench.Packages;

namespace Stencilwright.Workbench;

/// <summary>Makes several files of one that holds the whole board, so that each layer can play its own part: <c>board.xml#F.Paste</c>.</summary>
internal static class WholeBoardFile
{
    // The file names its layers itself, yet a Gerber layer that does so too is taken before it.
    private const double Confidence = 0.96;

    /// <summary>The file itself, which lists the parts, then its profile and every layer that has features.</summary>
    /// <param name="source">An IPC-2581 file.</param>
    /// <param name="cancellation">Ends the reading early.</param>
    public static ImmutableArray<ArtworkFile> Expand(SourceText source, CancellationToken cancellation)
    {
        var read = Ipc2581Reader.Read(source, ReadLimits.Default, cancellation);
        if (read.Value is not { } document)
        {
            var nothing = new RoleGuess(LayerRole.Ignore, "it could not be read", 1);
            return [new ArtworkFile(source, ArtworkFormat.Ipc2581, nothing) { ReadDiagnostics = read.Diagnostics }];
        }

        var files = ImmutableArray.CreateBuilder<ArtworkFile>(document.Layers.Length + 2);
        files.Add(new ArtworkFile(source, ArtworkFormat.Ipc2581, new RoleGuess(LayerRole.Placement, "it lists the parts of the board", 0.9))
        {
            ReadDiagnostics = read.Diagnostics,
            ListParts = stop => Ipc2581Parts.From(document, ReadLimits.Default, stop),
        });
        if (document.HasProfile)
        {
            var name = document.Layers.Any(l => l.Name.Equals("profile", StringComparison.OrdinalIgnoreCase)) ? "step-profile" : "profile";
            files.Add(Part(files[0], name, new RoleGuess(LayerRole.Outline, "it is the profile of the board", Confidence), stop => Ipc2581Image.ComposeProfile(document, ReadLimits.Default, stop)));
        }

        foreach (var layer in document.Layers.Where(l => l.HasFeatures))
        {
            files.Add(Part(files[0], layer.Name, GuessOf(layer), stop => Ipc2581Image.Compose(document, layer.Name, ReadLimits.Default, stop)));
        }

        return files.ToImmutable();
    }

    private static ArtworkFile Part(ArtworkFile whole, string name, RoleGuess guess, Func<CancellationToken, Outcome<LayerImage>> paint)
    {
        var source = new SourceText(PackageIntake.Shown($"{whole.Source.Name}#{name}"), whole.Source.Bytes);
        return new ArtworkFile(source, ArtworkFormat.Ipc2581, guess) { Whole = whole, PaintLayer = paint };
    }

    private static RoleGuess GuessOf(Ipc2581Layer layer)
    {
        if (layer.FileFunction.IsEmpty || RoleFinder.FromFileFunction(layer.FileFunction) is not { } role)
        {
            var function = layer.Function.Length == 0 ? "its layer states no function" : $"its layer's function is {layer.Function}";
            return new RoleGuess(LayerRole.Ignore, function, 0.9);
        }

        return new RoleGuess(role, $"its layer's function is {layer.Function}, side {layer.Side.ToString().ToUpperInvariant()}", Confidence);
    }
}

/// <summary>What a job's files say beside paste and outline.</summary>
internal static class JobSources
{
    /// <summary>Every list of placed parts: placement lists, Gerber component layers and IPC-2581 files, in the order of the files.</summary>
    public static ImmutableArray<Artwork.Placement.PlacementList> Placements(IReadOnlyList<ArtworkFile> files, CancellationToken cancellation)
    {
        var wanted = files.Where(f => f.Role == LayerRole.Placement).ToList();
        ArtworkFile.Paint(wanted, cancellation);
        var lists = ImmutableArray.CreateBuilder<Artwork.Placement.PlacementList>(wanted.Count);
        foreach (var file in wanted)
        {
            file.ReadParts(cancellation);
            if (file.Parts is { } list)
            {
                lists.Add(list);
            }
        }

        return lists.ToImmutable();
    }

    /// <summary>Every layer of holes, painted where it can be read, in the order of the files.</summary>
    public static ImmutableArray<ArtworkFile> Drills(IReadOnlyList<ArtworkFile> files, CancellationToken cancellation)
    {
        var wanted = files.Where(f => f.Role is LayerRole.DrillPlated or LayerRole.DrillNonplated).ToImmutableArray();
        ArtworkFile.Paint(wanted, cancellation);
        return wanted;
    }
}
