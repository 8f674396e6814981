using System.Collections.Immutable;
using System.Text.Json;

namespace Stencilwright.Boards.Roles;

/// <summary>What job files and layer reports of a package say about its other files.</summary>
public sealed class RoleHints
{
    private readonly ImmutableSortedDictionary<string, RoleGuess> _byName;
    private readonly ImmutableSortedDictionary<string, RoleGuess> _byExtension;

    private RoleHints(ImmutableSortedDictionary<string, RoleGuess> byName, ImmutableSortedDictionary<string, RoleGuess> byExtension)
    {
        _byName = byName;
        _byExtension = byExtension;
    }

    /// <summary>No hints.</summary>
    public static RoleHints None { get; } = new(
        ImmutableSortedDictionary.Create<string, RoleGuess>(StringComparer.OrdinalIgnoreCase),
        ImmutableSortedDictionary.Create<string, RoleGuess>(StringComparer.OrdinalIgnoreCase));

    /// <summary>True for names of files that hold hints and no artwork: job files and layer reports.</summary>
    public static bool IsHintFile(string fileName)
    {
        ArgumentNullException.ThrowIfNull(fileName);
        return RoleFinder.ExtensionOf(fileName) is "GBRJOB" or "EXTREP";
    }

    /// <summary>Adds what one such file says; content that cannot be read adds nothing.</summary>
    /// <param name="fileName">Its name.</param>
    /// <param name="content">All of it.</param>
    public RoleHints With(string fileName, ReadOnlyMemory<byte> content)
    {
        ArgumentNullException.ThrowIfNull(fileName);
        return RoleFinder.ExtensionOf(fileName) switch
        {
            "GBRJOB" => new RoleHints(_byName.AddFirst(JobFile(content)), _byExtension),
            "EXTREP" => new RoleHints(_byName, _byExtension.AddFirst(LayerReport(content))),
            _ => this,
        };
    }

    /// <summary>What was said about a file; null for nothing.</summary>
    public RoleGuess? For(string fileName)
    {
        ArgumentNullException.ThrowIfNull(fileName);
        return _byName.TryGetValue(RoleFinder.BaseName(fileName), out var guess)
            || _byExtension.TryGetValue(RoleFinder.ExtensionOf(fileName), out guess)
            ? guess
            : null;
    }

    // Gerber job file: FilesAttributes is a list of { Path, FileFunction } (Gerber job format specification, from memory).
    private static List<(string Key, RoleGuess Guess)> JobFile(ReadOnlyMemory<byte> content)
    {
        var result = new List<(string Key, RoleGuess Guess)>();
        try
        {
            var bytes = content.Span is [0xEF, 0xBB, 0xBF, ..] ? content[3..] : content;
            using var document = JsonDocument.Parse(bytes, new JsonDocumentOptions { AllowTrailingCommas = true, CommentHandling = JsonCommentHandling.Skip });
            if (document.RootElement.ValueKind != JsonValueKind.Object
                || !document.RootElement.TryGetProperty("FilesAttributes", out var files) || files.ValueKind != JsonValueKind.Array)
            {
                return result;
            }

            foreach (var file in files.EnumerateArray())
            {
                if (TextOf(file, "Path") is { } path && TextOf(file, "FileFunction") is { } function
                    && RoleFinder.FromFileFunction(function.Split(',')) is { } role)
                {
                    result.Add((RoleFinder.BaseName(path), new RoleGuess(role, $"the job file says {function}", 0.95)));
                }
            }
        }
        catch (JsonException)
        {
            // A damaged job file is worth nothing, and its absence is no fault of the package.
            result.Clear();
        }

        return result;
    }

    private static string? TextOf(JsonElement element, string name) =>
        element.ValueKind == JsonValueKind.Object && element.TryGetProperty(name, out var value) && value.ValueKind == JsonValueKind.String
            ? value.GetString()
            : null;

    // Lines of an extension and a description: ".GTP   Top Paste".
    private static List<(string Key, RoleGuess Guess)> LayerReport(ReadOnlyMemory<byte> content)
    {
        var result = new List<(string Key, RoleGuess Guess)>();
        var text = RoleFinder.TextOf(content.Span);
        foreach (var raw in text.Split('\n'))
        {
            var line = raw.Trim();
            var gap = line.IndexOfAny([' ', '\t']);
            if (line.Length > 1 && line[0] == '.' && gap > 1
                && RoleWords.Read(line[gap..], isDrill: false, isGerber: true, "layer report") is { } guess)
            {
                // Below what a file's own film or layer name says, above the custom of its extension. Mechanical layers
                // are put to new uses without being renamed, so that for them only an outline is taken on trust.
                var extension = line[1..gap].ToUpperInvariant();
                var isDoubtful = extension.StartsWith("GM", StringComparison.Ordinal) && guess.Role != LayerRole.Outline;
                var confidence = isDoubtful ? 0.55 : Math.Min(0.76, guess.Confidence + 0.06);
                result.Add((extension, guess with { Why = guess.Why.Replace("its layer", "the layer", StringComparison.Ordinal), Confidence = confidence }));
            }
        }

        return result;
    }
}

/// <summary>Adding where the first statement counts.</summary>
internal static class FirstStatement
{
    public static ImmutableSortedDictionary<string, RoleGuess> AddFirst(
        this ImmutableSortedDictionary<string, RoleGuess> known, List<(string Key, RoleGuess Guess)> more)
    {
        var builder = known.ToBuilder();
        foreach (var (key, guess) in more)
        {
            builder.TryAdd(key, guess);
        }

        return builder.ToImmutable();
    }
}
