using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Output;
using Stencilwright.Workbench.Workshop;

namespace Stencilwright.App.Web.Drawing;

/// <summary>Layers of the artwork over one another, in the artwork's coordinates, with findings as marks.</summary>
internal static class ArtworkScene
{
    /// <summary>The layer of marks, which can be picked.</summary>
    public const string Marks = "findings";

    // Drawn as a mark of a few pixels however far away.
    private const double MarkRadiusMm = 0.15;

    // From the bottom of the pile to its top.
    private static readonly string[] _order =
    [
        "copper-bottom", "copper-top", "mask-bottom", "mask-top", "legend-bottom", "legend-top", "paste-bottom", "paste-top",
        "drill-plated", "drill-nonplated", "outline", "placement", "ignore",
    ];

    /// <summary>Whether a layer is shown before a person chooses.</summary>
    public static bool IsShownFirst(string role) => role is "outline" or "paste-top" or "mask-top" or "drill-plated" or "drill-nonplated";

    /// <summary>The id of a finding's mark.</summary>
    public static string IdOf(int index) => "f" + (index + 1).ToString(CultureInfo.InvariantCulture);

    public static byte[] Of(ImmutableArray<DrawnLayer> layers, Job? job, ImmutableArray<Finding> findings)
    {
        var window = Bounds2.Empty;
        var scene = new SceneBuilder();
        foreach (var layer in layers.OrderBy(l => Array.IndexOf(_order, l.Role)).ThenBy(l => l.File, StringComparer.Ordinal))
        {
            scene.Areas(layer.File, StyleOf(layer.Role), layer.Islands);
            if (layer.Role != "ignore")
            {
                foreach (var island in layer.Islands)
                {
                    window = Bounds2.Union(window, island.Bounds);
                }
            }
        }

        if (job?.Outline is { } outline)
        {
            scene.Areas("board", "outline", [outline.Shape]);
            window = outline.Shape.Bounds;
        }

        var placed = findings.Select((f, i) => (Finding: f, Id: IdOf(i))).Where(f => f.Finding is { XMm: not null, YMm: not null }).ToList();
        scene.Areas(
            Marks, "mark",
            placed.Select(f => Region.Of(Contour.Circle(new(f.Finding.XMm!.Value, f.Finding.YMm!.Value), MarkRadiusMm))),
            [.. placed.Select(f => f.Id)]);
        foreach (var (finding, id) in placed)
        {
            scene.Label(new(finding.XMm!.Value, finding.YMm!.Value), id[1..], finding.Severity == Severity.Error ? "flag-error" : "flag");
        }

        return scene
            .Values("verdict", placed.Select(f => f.Finding.Severity switch { Severity.Error => 2.0, Severity.Warning => 1, _ => 0 }))
            .Window(window).Build();
    }

    private static string StyleOf(string role) => role switch
    {
        "paste-top" or "paste-bottom" => "paste",
        "copper-top" or "copper-bottom" => "copper",
        "mask-top" or "mask-bottom" => "mask",
        "legend-top" or "legend-bottom" => "legend",
        "drill-plated" or "drill-nonplated" => "drill",
        "outline" => "design",
        _ => "artwork",
    };
}
