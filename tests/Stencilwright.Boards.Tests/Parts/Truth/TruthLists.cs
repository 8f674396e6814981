using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using Stencilwright.Artwork;
using Stencilwright.Artwork.Placement;
using Stencilwright.Boards.Parts;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Testing;

namespace Stencilwright.Boards.Tests.Parts;

/// <summary>
/// The placement lists of the real boards, read as simply as each allows: their layers' parts have no names, so the lists are the
/// truth about middles, and about sizes where their package names say one.
/// </summary>
public static partial class TruthLists
{
    private const double Mil = 0.0254;

    private static readonly (string Layer, bool IsTop, string List, string Pattern, double UnitMm, bool IsUtf16)[] _lists =
    [
        ("page-frame", true, "esp-rust-board-top-pos.csv", "^\"(?<ref>[^\"]*)\",\"(?<value>[^\"]*)\",\"(?<package>[^\"]*)\",(?<x>[-.0-9]+),(?<y>[-.0-9]+),(?<turn>[-.0-9]+),(?<side>\\w+)", 1, false),
        ("mixed-pads", true, "PickAndPlace_simplefocmini_2024-04-26.csv", "^\"(?<ref>[^\"]*)\"\t\"(?<package>[^\"]*)\"\t\"(?<x>[-.0-9]+)mm\"\t\"(?<y>[-.0-9]+)mm\"\t.*\t\"(?<side>[TB])\"\t\"(?<turn>[-.0-9]+)\"\t\"(?<value>[^\"]*)\"", 1, true),
        ("outline-with-dimensions", true, "Pick Place for pixhawk_debug_adapter_mini(Production).txt", "^(?<ref>\\S+)\\s.*?\\s(?<side>Top|Bottom)Layer\\s+(?<package>\\S+)\\s+(?<x>[-.0-9]+)\\s+(?<y>[-.0-9]+)\\s+(?<turn>[-.0-9]+)", Mil, false),
        ("modal-lines top", true, "OBCI_V4_C (Component Positions CSV).csv", ModalPattern, Mil, false),
        ("modal-lines bottom", false, "OBCI_V4_C (Component Positions CSV).csv", ModalPattern, Mil, false),
    ];

    private const string ModalPattern = "^\"(?<ref>[^\"]*)\",\"(?<value>[^\"]*)\",\"(?<side>\\w+)\",\"(?<x>[-.0-9]+)\",\"(?<y>[-.0-9]+)\",\"(?<turn>[-.0-9]+)\"";

    /// <summary>Layers with a list, without names of their own.</summary>
    public static IEnumerable<(string Name, PasteLayer Paste, bool IsTop, PlacementList List)> All()
    {
        foreach (var (layer, isTop, file, pattern, unit, isUtf16) in RealBoards.Folder is null ? [] : _lists)
        {
            var (name, folder, paste, outline) = FootprintBench.Layers.Single(l => l.Name == layer);
            var text = File.ReadAllText(Path.Combine(RealBoards.Folder!, folder, file), isUtf16 ? Encoding.Unicode : Encoding.UTF8);
            yield return (name, TruthBoards.WithoutNames(TruthBoards.Real(folder, paste, outline)), isTop, Read(file, text, new Regex(pattern, RegexOptions.Multiline), unit));
        }
    }

    /// <summary>How the lists agree with what geometry told.</summary>
    public static string Table()
    {
        var text = new StringBuilder("| list | rows of the side | rows named | parts | parts named | sizes said | of these as the package says | contradictions |\n|---|---|---|---|---|---|---|---|\n");
        foreach (var (name, paste, isTop, list) in All())
        {
            var found = FootprintFinder.Find(paste);
            var joined = PartNames.Join(found, paste, isTop, [list]);
            var rows = list.Parts.Count(r => r.IsTop == isTop);
            var named = joined.Parts.Where(p => p.Reference is not null).ToArray();
            var sizes = named.Where(p => p.SizeMetric is not null && p.Package is not null && SizeOf(p.Package) is not null).ToArray();
            text.Append(CultureInfo.InvariantCulture, $"| {name} | {rows} | {named.Length} | {joined.Parts.Length} | {named.Length} | {sizes.Length} | {sizes.Count(p => SizeOf(p.Package!)!.Contains(p.SizeMetric!))} | {joined.Findings.Count(f => f.Code is "BRD143" or "BRD144")} |\n");
            foreach (var finding in joined.Findings.Where(f => f.Code.StartsWith("BRD14", StringComparison.Ordinal)))
            {
                text.Append(CultureInfo.InvariantCulture, $"  {finding.Code} {finding.Message}\n");
            }
        }

        return text.ToString();
    }

    /// <summary>Metric size codes that a package name gives: in words, or as IPC-7351 writes a body's length and width.</summary>
    private static string[]? SizeOf(string package)
    {
        var body = Body().Match(package);
        if (body.Success)
        {
            return [$"{int.Parse(body.Groups[1].Value, CultureInfo.InvariantCulture) / 10:00}{(int.Parse(body.Groups[2].Value, CultureInfo.InvariantCulture) + 4) / 10:00}"];
        }

        return package.Contains("0402", StringComparison.Ordinal) ? ["1005"]
            : package.Contains("0603", StringComparison.Ordinal) ? ["1608"]
            : package.Contains("0805", StringComparison.Ordinal) ? ["2012"]
            : null;
    }

    [GeneratedRegex("C([0-9]{3})X([0-9]{2,3})X")]
    private static partial Regex Body();

    private static PlacementList Read(string file, string text, Regex pattern, double unitMm)
    {
        var rows = new List<PlacedPart>();
        foreach (Match match in pattern.Matches(text))
        {
            double Number(string group) => double.Parse(match.Groups[group].Value, CultureInfo.InvariantCulture);
            string? Word(string group) => match.Groups[group].Value is { Length: > 0 } word ? word : null;
            rows.Add(new PlacedPart
            {
                Reference = match.Groups["ref"].Value,
                Value = Word("value"),
                Package = Word("package"),
                At = new Point2(Number("x") * unitMm, Number("y") * unitMm),
                RotationDeg = Number("turn"),
                IsTop = char.ToUpperInvariant(match.Groups["side"].Value[0]) == 'T',
                Place = new SourcePlace(file, rows.Count + 1, 1),
            });
        }

        return new PlacementList
        {
            Source = new SourceText(file, Encoding.UTF8.GetBytes(text)),
            Format = ArtworkFormat.Placement,
            Unit = unitMm == 1 ? ArtworkUnit.Millimetre : ArtworkUnit.Inch,
            Parts = [.. rows],
        };
    }
}
