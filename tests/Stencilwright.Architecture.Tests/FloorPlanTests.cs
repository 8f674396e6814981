using System.Text.RegularExpressions;
using System.Xml.Linq;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Architecture.Tests;

public sealed partial class FloorPlanTests
{
    // The floor plan: who may know whom. To open a door, change this table and the one in docs/architecture.md.
    private static readonly Dictionary<string, string[]> _doors = new(StringComparer.Ordinal)
    {
        ["Foundation"] = [],
        ["Geometry"] = ["Foundation"],
        ["Artwork"] = ["Foundation", "Geometry"],
        ["Boards"] = ["Artwork", "Foundation", "Geometry"],
        ["Design"] = ["Boards", "Foundation", "Geometry"],
        ["Cutting"] = ["Design", "Foundation", "Geometry"],
        ["Output"] = ["Boards", "Cutting", "Design", "Foundation", "Geometry"],
        ["Workbench"] = ["Artwork", "Boards", "Cutting", "Design", "Foundation", "Geometry", "Output"],
        ["App"] = ["Workbench"],
    };

    // Packages a room may lean on; the analyzer of banned symbols comes from the shared props.
    private static readonly Dictionary<string, string[]> _packages = new(StringComparer.Ordinal)
    {
        ["Design"] = ["Tomlyn"],
        ["Output"] = ["SkiaSharp", "SkiaSharp.NativeAssets.Linux.NoDependencies"],
        ["Workbench"] = ["Microsoft.Data.Sqlite", "Tomlyn"],
        ["App"] = ["SkiaSharp.NativeAssets.Linux.NoDependencies", "System.CommandLine"],
    };

    private static string Source => Path.Combine(RealBoards.CheckoutRoot, "src");

    public static TheoryData<string> Rooms =>
        [.. Directory.GetDirectories(Source).Select(d => Path.GetFileName(d)["Stencilwright.".Length..]).Order(StringComparer.Ordinal)];

    [Fact]
    public void The_rooms_are_those_of_the_plan() =>
        Assert.Equal(_doors.Keys.Order(StringComparer.Ordinal), Rooms.Select(r => r.Data));

    [Theory]
    [MemberData(nameof(Rooms))]
    public void A_room_opens_only_onto_the_rooms_of_the_plan(string room)
    {
        var known = Includes(room, "ProjectReference").Select(p => Path.GetFileNameWithoutExtension(p)["Stencilwright.".Length..]);
        Assert.Equal(_doors[room], known.Order(StringComparer.Ordinal));
    }

    [Theory]
    [MemberData(nameof(Rooms))]
    public void A_room_leans_on_no_package_that_the_plan_does_not_name(string room) =>
        Assert.Equal(_packages.GetValueOrDefault(room, []), Includes(room, "PackageReference").Order(StringComparer.Ordinal));

    [Theory]
    [MemberData(nameof(Rooms))]
    public void Only_the_outer_rooms_may_touch_files_and_console(string room) =>
        Assert.Equal(room is "Workbench" or "App", Project(room).Descendants("PureRoom").Any(e => e.Value == "false"));

    [Fact]
    public void The_plan_in_the_documents_is_the_plan_in_force()
    {
        var document = File.ReadAllText(Path.Combine(RealBoards.CheckoutRoot, "docs", "architecture.md"));
        foreach (var (room, doors) in _doors)
        {
            Assert.Contains($"| `{room}` | {(doors.Length == 0 ? "–" : string.Join(", ", doors))} |", document, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void No_file_is_longer_than_600_lines() =>
        Assert.Empty(SourceFiles().Where(f => File.ReadLines(f).Count() > 600).Select(Path.GetFileName));

    [Fact]
    public void Nothing_in_the_sources_is_left_for_later() =>
        Assert.Empty(SourceFiles().Where(f => LeftOver().IsMatch(File.ReadAllText(f))).Select(Path.GetFileName));

    [Fact]
    public void Every_diagnostic_code_is_explained_and_every_explanation_has_a_code()
    {
        var used = SourceFiles().SelectMany(f => CodeInSource().Matches(File.ReadAllText(f))).Select(m => m.Groups[1].Value).ToHashSet(StringComparer.Ordinal);
        var explained = CodeInDocument().Matches(File.ReadAllText(Path.Combine(RealBoards.CheckoutRoot, "docs", "diagnostics.md")))
            .Select(m => m.Groups[1].Value).ToHashSet(StringComparer.Ordinal);
        Assert.NotEmpty(used);
        Assert.Empty(used.Except(explained).Order(StringComparer.Ordinal));
        Assert.Empty(explained.Except(used).Order(StringComparer.Ordinal));
    }

    [Fact]
    public void Every_project_is_in_the_solution()
    {
        var solution = File.ReadAllText(Path.Combine(RealBoards.CheckoutRoot, "Stencilwright.slnx"));
        foreach (var folder in (string[])["src", "tests", "samples", "bench"])
        {
            foreach (var project in Directory.GetFiles(Path.Combine(RealBoards.CheckoutRoot, folder), "*.csproj", SearchOption.AllDirectories))
            {
                Assert.Contains(Path.GetRelativePath(RealBoards.CheckoutRoot, project).Replace('\\', '/'), solution, StringComparison.Ordinal);
            }
        }
    }

    private static IEnumerable<string> Includes(string room, string element) =>
        Project(room).Descendants(element).Select(e => e.Attribute("Include")!.Value);

    private static XDocument Project(string room) =>
        XDocument.Load(Path.Combine(Source, $"Stencilwright.{room}", $"Stencilwright.{room}.csproj"));

    private static IEnumerable<string> SourceFiles() => Directory.EnumerateFiles(Source, "*.cs", SearchOption.AllDirectories)
        .Where(f => !f.Contains($"{Path.DirectorySeparatorChar}obj{Path.DirectorySeparatorChar}", StringComparison.Ordinal));

    [GeneratedRegex("\"((?:ART|PKG|BRD|DSN|CUT|SET)[0-9]{3})\"")]
    private static partial Regex CodeInSource();

    [GeneratedRegex(@"\b((?:ART|PKG|BRD|DSN|CUT|SET)[0-9]{3})\b")]
    private static partial Regex CodeInDocument();

    [GeneratedRegex(@"\bTODO\b|\bFIXME\b|NotImplementedException")]
    private static partial Regex LeftOver();
}
