using System.Collections.Immutable;
using Stencilwright.Foundation;

namespace Stencilwright.Workbench.Settings;

/// <summary>How a setting is written and what it may hold.</summary>
public enum SettingKind
{
    /// <summary>A length: millimetres, or a number with a unit of length.</summary>
    Length,

    /// <summary>Width and height of a rectangle: two lengths.</summary>
    Size,

    /// <summary>A number in the setting's own unit.</summary>
    Number,

    /// <summary>Yes or no.</summary>
    Flag,

    /// <summary>Words.</summary>
    Text,
}

/// <summary>The value of one setting; only the member that belongs to the setting's kind means anything.</summary>
/// <param name="Number">A length in millimetres, or a number in the setting's own unit.</param>
/// <param name="Size">A rectangle in millimetres.</param>
/// <param name="Flag">Yes or no.</param>
/// <param name="Text">Words; never null for a text setting.</param>
public readonly record struct SettingValue(double Number = 0, BlankSize Size = default, bool Flag = false, string Text = "");

/// <summary>One setting: what it is called, what it may hold, and where it lives in <see cref="JobSettings"/>.</summary>
public sealed record Setting
{
    /// <summary>Its name in files and on the command line, with the unit as suffix.</summary>
    public required string Name { get; init; }

    /// <summary>How it is written.</summary>
    public required SettingKind Kind { get; init; }

    /// <summary>Its unit in print (<c>mm</c>, <c>mm/s</c>, <c>%</c>); empty for a bare number or words.</summary>
    public string Unit { get; init; } = "";

    /// <summary>One line for people.</summary>
    public required string Help { get; init; }

    /// <summary>Least number allowed, in the setting's unit; for a size, of each side.</summary>
    public double Least { get; init; } = double.NegativeInfinity;

    /// <summary>Greatest number allowed, in the setting's unit; for a size, of each side.</summary>
    public double Most { get; init; } = double.PositiveInfinity;

    /// <summary>True when <see cref="Least"/> itself is not allowed.</summary>
    public bool AboveLeast { get; init; }

    /// <summary>True when <see cref="Most"/> itself is not allowed.</summary>
    public bool BelowMost { get; init; }

    /// <summary>True when only whole numbers are allowed.</summary>
    public bool IsWhole { get; init; }

    /// <summary>For words: the only ones there are; empty when others will do as well.</summary>
    public ImmutableArray<string> Choices { get; init; } = [];

    /// <summary>For words: null when they will do, otherwise what they should have been.</summary>
    public Func<string, string?> CheckText { get; init; } = static _ => null;

    /// <summary>For words: what stands between the items of a list that a job file gives as an array.</summary>
    public string Between { get; init; } = ", ";

    /// <summary>Takes the value out of a job's settings.</summary>
    public required Func<JobSettings, SettingValue> Get { get; init; }

    /// <summary>Puts a value into a job's settings.</summary>
    public required Func<JobSettings, SettingValue, JobSettings> With { get; init; }

    internal bool Allows(double number) =>
        double.IsFinite(number)
        && (!IsWhole || Math.Truncate(number) == number)
        && (AboveLeast ? number > Least : number >= Least)
        && (BelowMost ? number < Most : number <= Most);

    /// <summary>What is allowed, in words and in the setting's own unit.</summary>
    public string RangeInWords() => RangeInWords(Unit, 1);

    /// <summary>What is allowed, in words.</summary>
    /// <param name="unitName">The unit to say it in; empty for none.</param>
    /// <param name="each">How many of the setting's own unit that unit is.</param>
    public string RangeInWords(string unitName, double each)
    {
        ArgumentNullException.ThrowIfNull(unitName);
        var least = Number(Least / each);
        var most = Number(Most / each);
        var unit = unitName.Length == 0 ? "" : " " + unitName;
        var whole = IsWhole ? "a whole number, " : "";
        return whole + ((double.IsFinite(Least), double.IsFinite(Most)) switch
        {
            (true, true) => $"{(AboveLeast ? "more than" : "at least")} {least} and {(BelowMost ? "less than" : "at most")} {most}{unit}",
            (true, false) => $"{(AboveLeast ? "more than" : "at least")} {least}{unit}",
            (false, true) => $"{(BelowMost ? "less than" : "at most")} {most}{unit}",
            _ => $"a number{unit}",
        });
    }

    internal static string Number(double value) => value.ToString("0.######", System.Globalization.CultureInfo.InvariantCulture);
}
