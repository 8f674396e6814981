using System.Globalization;
using Stencilwright.Foundation;
using Stencilwright.Workbench.Workshop;

namespace Stencilwright.App.Web;

/// <summary>A unit in which lengths are shown and entered.</summary>
/// <param name="Name"><c>mm</c>, <c>mil</c> or <c>inch</c>.</param>
/// <param name="MillimetresEach">How many millimetres it is.</param>
/// <param name="Decimals">Places that show a micrometre or so.</param>
internal sealed record LengthUnit(string Name, double MillimetresEach, int Decimals)
{
    /// <summary>The figure alone, with a true minus sign and without the unit.</summary>
    /// <param name="lengthMm">The length.</param>
    /// <param name="fewer">Decimals less than the unit's own.</param>
    public string Figure(double lengthMm, int fewer = 0) => Figures.Of(lengthMm / MillimetresEach, Math.Max(0, Decimals - fewer));

    /// <summary>For an input field: no more digits than are needed.</summary>
    public string Entry(double lengthMm) => Math.Round(lengthMm / MillimetresEach, Decimals + 2).ToString("0.######", CultureInfo.InvariantCulture);
}

/// <summary>The units one can choose from.</summary>
internal static class LengthUnits
{
    public static LengthUnit[] All { get; } = [new("mm", 1, 3), new("mil", Lengths.MillimetresPerMil, 1), new("inch", Lengths.MillimetresPerInch, 4)];

    public static LengthUnit Of(string? name) => Array.Find(All, u => u.Name == name) ?? All[0];
}

/// <summary>Figures as they are shown: a decimal point, a true minus sign, a dash where there is none.</summary>
internal static class Figures
{
    public static string Of(double value, int decimals) => double.IsFinite(value)
        ? value.ToString("F" + decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture).Replace('-', '−')
        : "–";

    public static string Of(double? value, int decimals) => Of(value ?? double.NaN, decimals);

    /// <summary>Minutes and seconds, rounded to a second.</summary>
    public static string Time(double seconds)
    {
        var whole = (long)Math.Round(seconds);
        return whole < 60 ? string.Create(CultureInfo.InvariantCulture, $"{whole} s") : string.Create(CultureInfo.InvariantCulture, $"{whole / 60} min {whole % 60:00} s");
    }
}

/// <summary>What the person at this machine prefers, kept across restarts.</summary>
internal sealed class Preferences(JobStore store)
{
    public const string ThemeName = "theme";

    private const string UnitName = "unit";

    private string? _theme;
    private LengthUnit? _unit;

    public static string[] Themes { get; } = ["system", "light", "dark"];

    public event EventHandler? Changed;

    /// <summary>Counts changes: a cascading value, so that pages draw themselves again.</summary>
    public int Version { get; private set; }

    public LengthUnit Length => _unit ??= LengthUnits.Of(store.Preference(UnitName));

    public string Unit
    {
        get => Length.Name;
        set
        {
            _unit = LengthUnits.Of(value);
            Keep(UnitName, _unit.Name);
        }
    }

    public string Theme
    {
        get => _theme ??= store.Preference(ThemeName) is { } kept && Themes.Contains(kept, StringComparer.Ordinal) ? kept : Themes[0];
        set => Keep(ThemeName, _theme = Themes.Contains(value, StringComparer.Ordinal) ? value : Themes[0]);
    }

    private void Keep(string name, string value)
    {
        try
        {
            store.SetPreference(name, value);
        }
        catch (IOException)
        {
            // It holds for this page all the same.
        }

        Version++;
        Changed?.Invoke(this, EventArgs.Empty);
    }
}
