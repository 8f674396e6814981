using System.Collections.Frozen;
using System.Globalization;
using System.Text.Json;

namespace Stencilwright.App.Web;

/// <summary>Every text of the pages, by key, out of one file: another language is another file.</summary>
internal sealed class Words
{
    private readonly FrozenDictionary<string, string> _texts;

    private Words(FrozenDictionary<string, string> texts) => _texts = texts;

    /// <summary>The texts in English.</summary>
    public static Words English { get; } = Load("words-en.json");

    /// <summary>Every key.</summary>
    public IReadOnlyCollection<string> Keys => _texts.Keys;

    /// <summary>The text of a key.</summary>
    /// <exception cref="KeyNotFoundException">There is no such key: a mistake of the page.</exception>
    public string this[string key] => _texts.TryGetValue(key, out var text) ? text : throw new KeyNotFoundException($"There is no text {key}.");

    /// <summary>Whether there is such a key.</summary>
    public bool Has(string key) => _texts.ContainsKey(key);

    /// <summary>What a finding or a diagnostic says, in words that fit a page.</summary>
    /// <param name="code">Its code; a few have a text of their own here.</param>
    /// <param name="message">What it says to files and the command line.</param>
    /// <param name="unit">Unit in which lengths are shown.</param>
    public string Said(string code, string message, LengthUnit unit) => Has("said." + code) ? this["said." + code] : PlainWords.Of(this, message, unit);

    /// <summary>The text of a key with values in the place of <c>{0}</c>, <c>{1}</c>, …</summary>
    public string Format(string key, params ReadOnlySpan<object?> values) => string.Format(CultureInfo.InvariantCulture, this[key], values);

    /// <summary>The text for one, or for a number: keys end in <c>.one</c> and <c>.many</c>.</summary>
    public string Count(string key, int count) => count == 1 ? this[key + ".one"] : Format(key + ".many", count);

    private static Words Load(string name)
    {
        using var stream = typeof(Words).Assembly.GetManifestResourceStream(name) ?? throw new InvalidOperationException($"{name} is not in the program.");
        using var json = JsonDocument.Parse(stream);
        var texts = new Dictionary<string, string>(StringComparer.Ordinal);
        foreach (var page in json.RootElement.EnumerateObject())
        {
            foreach (var text in page.Value.EnumerateObject())
            {
                texts.Add(page.Name + "." + text.Name, text.Value.GetString()!);
            }
        }

        return new Words(texts.ToFrozenDictionary(StringComparer.Ordinal));
    }
}
