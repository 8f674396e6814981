using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using Stencilwright.Foundation;
using Tomlyn.Parsing;
using Tomlyn.Syntax;

namespace Stencilwright.Workbench.Settings;

/// <summary>Puts a job's settings together from the defaults, job files, and single settings of the command line.</summary>
/// <remarks>Later wins: defaults, then each job file in turn, then each single setting in turn.</remarks>
public static class SettingsReader
{
    /// <summary>Reads job files (TOML 1.0) and <c>name=value</c> settings.</summary>
    /// <param name="jobFiles">In the order given; later ones win.</param>
    /// <param name="sets">Single settings such as <c>kerf_x_mm=0.14</c> or <c>film_blank_mm=4inx4in</c>; they win over the files.</param>
    /// <returns>The settings with every good value in them, and a SET diagnostic for every bad one.</returns>
    public static Outcome<JobSettings> Read(IEnumerable<SourceText> jobFiles, IEnumerable<string> sets)
    {
        ArgumentNullException.ThrowIfNull(jobFiles);
        ArgumentNullException.ThrowIfNull(sets);
        var diagnostics = ImmutableArray.CreateBuilder<Diagnostic>();
        var settings = JobSettings.Default;
        foreach (var file in jobFiles)
        {
            settings = ReadFile(file, settings, diagnostics);
        }

        foreach (var set in sets)
        {
            settings = ReadSingle(set, settings, diagnostics);
        }

        return new Outcome<JobSettings>(settings, diagnostics.ToImmutable());
    }

    private static JobSettings ReadSingle(string set, JobSettings settings, ImmutableArray<Diagnostic>.Builder diagnostics)
    {
        var place = SourcePlace.Whole($"--set {set}");
        var equals = set.IndexOf('=', StringComparison.Ordinal);
        if (equals <= 0)
        {
            diagnostics.Add(Error("SET006", "a single setting is written name=value, such as kerf_x_mm=0.14.", place));
            return settings;
        }

        var name = set[..equals].Trim();
        if (SettingsCatalogue.Find(name) is not { } setting)
        {
            diagnostics.Add(Unknown(name, place));
            return settings;
        }

        return Apply(setting, SettingParser.FromText(setting, set[(equals + 1)..].Trim()), settings, place, diagnostics);
    }

    private static JobSettings ReadFile(SourceText file, JobSettings settings, ImmutableArray<Diagnostic>.Builder diagnostics)
    {
        var bytes = file.Bytes.Span;
        var markLength = bytes.StartsWith((ReadOnlySpan<byte>)[0xEF, 0xBB, 0xBF]) ? 3 : 0;
        var text = Encoding.UTF8.GetString(bytes[markLength..]);
        if (TryParse(text, file.Name) is not { } document)
        {
            diagnostics.Add(Error("SET005", "this is not valid TOML; look for a wrong escape after a backslash, put it right and run again.", SourcePlace.Whole(file.Name)));
            return settings;
        }

        SourcePlace PlaceOf(SyntaxNode? node) => Place(node?.Span.Start.Offset ?? 0);
        SourcePlace Place(int offset) =>
            file.PlaceOf(markLength + Encoding.UTF8.GetByteCount(text.AsSpan(0, Math.Clamp(offset, 0, text.Length))));

        foreach (var problem in document.Diagnostics)
        {
            diagnostics.Add(Error(
                "SET005", $"this is not valid TOML ({OneLine(problem.Message)}); put it right and run again.", Place(problem.Span.Start.Offset)));
        }

        foreach (var table in document.Tables)
        {
            diagnostics.Add(Error(
                "SET007", $"a job file has no tables; remove [{table.Name?.ToString().Trim()}] and keep its settings at the top.", PlaceOf(table)));
        }

        foreach (var entry in document.KeyValues)
        {
            var name = entry.Key?.ToString().Trim().Trim('"', '\'') ?? "";
            if (name.Length == 0 || entry.Value is null)
            {
                continue;
            }

            if (SettingsCatalogue.Find(name) is { } setting)
            {
                settings = Apply(setting, FromToml(setting, entry.Value), settings, PlaceOf(entry.Value), diagnostics);
            }
            else
            {
                diagnostics.Add(Unknown(name, PlaceOf(entry.Key)));
            }
        }

        return settings;
    }

    // The parser answers some broken escapes by throwing (seen: an escape followed by half of a surrogate pair).
    private static DocumentSyntax? TryParse(string text, string name)
    {
        try
        {
            return SyntaxParser.Parse(text, name, validate: true);
        }
        catch (Exception failure) when (failure is Tomlyn.TomlException or ArgumentException or InvalidOperationException or FormatException or IndexOutOfRangeException)
        {
            return null;
        }
    }

    private static SettingReading FromToml(Setting setting, ValueSyntax value) => value switch
    {
        IntegerValueSyntax integer => SettingParser.FromNumber(setting, integer.Value),
        FloatValueSyntax number => SettingParser.FromNumber(setting, number.Value),
        BooleanValueSyntax flag => SettingParser.FromFlag(setting, flag.Value),
        StringValueSyntax words => SettingParser.FromText(setting, words.Value ?? ""),
        DateTimeValueSyntax date when setting.Kind == SettingKind.Text => SettingParser.FromText(setting, date.ToString().Trim()),
        ArraySyntax array when setting.Kind == SettingKind.Size => FromPair(setting, array),
        // A list of lengths or names is written either way: in one string, or as an array.
        ArraySyntax array when setting.Kind == SettingKind.Text => SettingParser.FromText(setting, string.Join(setting.Between, array.Items.Select(ItemText))),
        _ => SettingReading.Wrong("SET002", SettingParser.Wanted(setting)),
    };

    private static string ItemText(ArrayItemSyntax item) =>
        item.Value is StringValueSyntax words ? words.Value ?? "" : item.Value?.ToString().Trim() ?? "";

    private static SettingReading FromPair(Setting setting, ArraySyntax array)
    {
        Span<double> sides = stackalloc double[2];
        var count = 0;
        foreach (var item in array.Items)
        {
            var read = item.Value switch
            {
                IntegerValueSyntax integer => integer.Value,
                FloatValueSyntax number => number.Value,
                StringValueSyntax words when Lengths.TryParse(words.Value ?? "", out var length) => length,
                _ => double.NaN,
            };
            if (count == 2 || double.IsNaN(read))
            {
                return SettingReading.Wrong("SET002", SettingParser.Wanted(setting));
            }

            sides[count++] = read;
        }

        return count == 2
            ? SettingReading.Of(new SettingValue(Size: new BlankSize(sides[0], sides[1])))
            : SettingReading.Wrong("SET002", SettingParser.Wanted(setting));
    }

    private static JobSettings Apply(
        Setting setting, SettingReading reading, JobSettings settings, SourcePlace place, ImmutableArray<Diagnostic>.Builder diagnostics)
    {
        if (reading.Code is { } code)
        {
            diagnostics.Add(Error(code, $"{setting.Name} takes {reading.Wanted}.", place));
            return settings;
        }

        var value = reading.Value;
        var numbersFit = setting.Kind switch
        {
            SettingKind.Length or SettingKind.Number => setting.Allows(value.Number),
            SettingKind.Size => setting.Allows(value.Size.WidthMm) && setting.Allows(value.Size.HeightMm),
            _ => true,
        };
        if (!numbersFit)
        {
            var each = setting.Kind == SettingKind.Size ? "each side of " : "";
            var given = setting.Kind == SettingKind.Size
                ? $"{Setting.Number(value.Size.WidthMm)} × {Setting.Number(value.Size.HeightMm)}"
                : Setting.Number(value.Number);
            diagnostics.Add(Error("SET004", $"{each}{setting.Name} must be {setting.RangeInWords()}, not {given}.", place));
            return settings;
        }

        if (setting.Kind == SettingKind.Text && setting.CheckText(value.Text) is { } wanted)
        {
            diagnostics.Add(Error("SET008", $"{setting.Name} takes {wanted}.", place));
            return settings;
        }

        return setting.With(settings, value);
    }

    private static Diagnostic Unknown(string name, SourcePlace place)
    {
        var nearest = Suggestion.For(name, SettingsCatalogue.All.Select(s => s.Name));
        return Error(
            "SET001",
            nearest is null
                ? $"there is no setting {name}; `stencilwright prepare --help` lists them."
                : $"there is no setting {name}; did you mean {nearest}?",
            place);
    }

    private static string OneLine(string text) => text.ReplaceLineEndings(" ").TrimEnd('.', ' ');

    private static Diagnostic Error(string code, string message, SourcePlace place) =>
        new(code, Severity.Error, string.Create(CultureInfo.InvariantCulture, $"{message}"), place);
}
