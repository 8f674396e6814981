using System.Globalization;
using Stencilwright.Design.Printing;
using Stencilwright.Foundation;

namespace Stencilwright.Workbench;

/// <summary>Replaces the figures of how paste leaves openings by a shop's own measured prints.</summary>
internal static class ReleaseChoice
{
    /// <summary>Settings with the curve fitted to the file that they name; the same settings when they name none.</summary>
    /// <remarks>The file is CSV with the header <c>areaRatio,transferEfficiency</c>, one measured deposit a line, 1 for an opening's whole volume.</remarks>
    public static Outcome<JobSettings> Load(JobSettings settings)
    {
        var name = settings.ReleaseMeasurements;
        if (name.Length == 0)
        {
            return new Outcome<JobSettings>(settings, []);
        }

        string[] lines;
        try
        {
            lines = File.ReadAllLines(name);
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            return Wrong($"this file of measured prints cannot be read ({failure.Message.TrimEnd('.')}); check the name in release_measurements.", 0);
        }

        if (lines.Length == 0 || lines[0].Trim().TrimStart('\uFEFF') != "areaRatio,transferEfficiency")
        {
            return Wrong("measured prints begin with the line areaRatio,transferEfficiency; put it first.", 1);
        }

        var prints = new List<(double, double)>();
        for (var i = 1; i < lines.Length; i++)
        {
            if (lines[i].Trim().Length == 0)
            {
                continue;
            }

            var fields = lines[i].Split(',');
            if (fields.Length != 2 || !TryRead(fields[0], 10, out var ratio) || !TryRead(fields[1], 5, out var share))
            {
                return Wrong("a measured print is an area ratio and the share released, such as 0.72,0.85; put the line right or take it out.", i + 1);
            }

            prints.Add((ratio, share));
        }

        if (ReleaseModel.Fit(prints) is not { } model)
        {
            return Wrong($"these {prints.Count} prints are too few or their area ratios too alike to tell a curve; measure at least five, over area ratios 0.1 or more apart.", 1);
        }

        return new Outcome<JobSettings>(
            settings with
            {
                ReleaseMiddleRatio = model.MiddleRatio,
                ReleaseSlope = model.Slope,
                ReleaseSpreadPercent = model.SpreadLarge * 100,
                ReleaseSmallSpreadPercent = model.SpreadSmall * 100,
            },
            []);

        Outcome<JobSettings> Wrong(string message, int line) =>
            new(null, [new Diagnostic("SET011", Severity.Error, message, line == 0 ? SourcePlace.Whole(name) : new SourcePlace(name, line, 1))]);
    }

    private static bool TryRead(string text, double most, out double number) =>
        double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out number) && number >= 0 && number <= most;
}
