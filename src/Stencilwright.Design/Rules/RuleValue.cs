using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Foundation;
using Tomlyn.Syntax;

namespace Stencilwright.Design.Rules;

/// <summary>What is wrong with a value.</summary>
internal sealed record ValueFault(string Code, string Message, SyntaxNode At);

/// <summary>Reads the value of one key.</summary>
internal static class RuleValue
{
    private const int MostWords = 100;

    public static (KeyValue Value, ValueFault? Fault) Read(RuleKey key, ValueSyntax value) => key.Kind switch
    {
        KeyKind.Flag => value is BooleanValueSyntax flag ? (new(Flag: flag.Value), null) : Wrong(key, "true or false", value),
        KeyKind.Number => ReadNumber(key, value),
        KeyKind.Range => ReadRange(key, value),
        KeyKind.Text => ReadText(key, value),
        KeyKind.Word => ReadWord(key, value),
        _ => ReadWords(key, value),
    };

    private static (KeyValue, ValueFault?) ReadNumber(RuleKey key, ValueSyntax value)
    {
        var number = NumberOf(value);
        if (double.IsNaN(number))
        {
            return Wrong(key, "a number without a unit (the key's name says it), such as 0.05", value);
        }

        return number >= key.Least && number <= key.Most
            ? (new(Number: number), null)
            : (default, new("SET104", string.Create(CultureInfo.InvariantCulture, $"{key.Path} must be from {key.Least:0.###} to {key.Most:0.###}, not {number:0.######}."), value));
    }

    private static (KeyValue, ValueFault?) ReadRange(RuleKey key, ValueSyntax value)
    {
        if (value is not ArraySyntax array || array.Items.ChildrenCount != 2)
        {
            return Wrong(key, "two numbers, least and most, such as [0.4, 0.65]", value);
        }

        Span<double> ends = stackalloc double[2];
        for (var i = 0; i < 2; i++)
        {
            var item = array.Items.GetChild(i)!;
            ends[i] = NumberOf(item.Value);
            if (double.IsNaN(ends[i]))
            {
                return Wrong(key, "two numbers, least and most, such as [0.4, 0.65]", item);
            }

            if (ends[i] < 0 || ends[i] > key.Most)
            {
                return (default, new("SET104", string.Create(CultureInfo.InvariantCulture, $"{key.Path} must be from 0 to {key.Most:0.###}, not {ends[i]:0.######}."), item));
            }
        }

        return ends[0] <= ends[1]
            ? (new(Range: new(ends[0], ends[1])), null)
            : (default, new("SET104", $"{key.Path} names the greater number first; write the least first.", value));
    }

    private static (KeyValue, ValueFault?) ReadText(RuleKey key, ValueSyntax value)
    {
        if (value is not StringValueSyntax { Value: { } text })
        {
            return Wrong(key, "words in quotes", value);
        }

        return text.Length is > 0 and <= 400 && !text.AsSpan().ContainsAnyInRange('\0', '\u001f')
            ? (new(Text: text), null)
            : (default, new("SET104", $"{key.Path} takes one line of 1 to 400 characters.", value));
    }

    private static (KeyValue, ValueFault?) ReadWord(RuleKey key, ValueSyntax value)
    {
        if (value is not StringValueSyntax { Value: { } word })
        {
            return Wrong(key, "one word in quotes: " + string.Join(", ", key.Known), value);
        }

        return UnknownWord(key, word, value) is { } fault ? (default, fault) : (new(Text: word), null);
    }

    private static (KeyValue, ValueFault?) ReadWords(RuleKey key, ValueSyntax value)
    {
        const string Wanted = "a word in quotes or several in brackets, such as [\"0402\", \"0603\"]";
        var words = ImmutableArray.CreateBuilder<string>();
        if (value is StringValueSyntax { Value: { } single })
        {
            return UnknownWord(key, single, value) is { } wrong ? (default, wrong) : (new(Words: [single]), null);
        }

        if (value is not ArraySyntax array || array.Items.ChildrenCount is 0 or > MostWords)
        {
            return Wrong(key, Wanted, value);
        }

        foreach (var item in array.Items)
        {
            if (item.Value is not StringValueSyntax { Value: { } word })
            {
                return Wrong(key, Wanted, item);
            }

            if (UnknownWord(key, word, item) is { } fault)
            {
                return (default, fault);
            }

            words.Add(word);
        }

        return (new(Words: words.ToImmutable()), null);
    }

    private static ValueFault? UnknownWord(RuleKey key, string word, SyntaxNode at)
    {
        if (key.Known.IsEmpty)
        {
            return word.Length is > 0 and <= 100 ? null : new("SET105", $"{key.Path} takes words of 1 to 100 characters.", at);
        }

        if (key.Known.Contains(word))
        {
            return null;
        }

        var nearest = Suggestion.For(word, key.Known);
        return new("SET105", nearest is null
            ? $"{key.Path} knows no {word}; it takes {string.Join(", ", key.Known)}."
            : $"{key.Path} knows no {word}; did you mean {nearest}?", at);
    }

    private static double NumberOf(ValueSyntax? value) => value switch
    {
        IntegerValueSyntax integer => integer.Value,
        FloatValueSyntax number when double.IsFinite(number.Value) => number.Value,
        _ => double.NaN,
    };

    private static (KeyValue, ValueFault?) Wrong(RuleKey key, string wanted, SyntaxNode at) => (default, new("SET103", $"{key.Path} takes {wanted}.", at));
}
