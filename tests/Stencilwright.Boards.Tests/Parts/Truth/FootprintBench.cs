using System.Diagnostics;
using System.Globalization;
using System.Text;
using Stencilwright.Boards.Parts;
using Stencilwright.Testing;

namespace Stencilwright.Boards.Tests.Parts;

/// <summary>Measures the finder of parts on boards whose parts are known.</summary>
public static class FootprintBench
{
    /// <summary>Every paste layer of the real boards, with its outline.</summary>
    public static readonly (string Name, string Folder, string Paste, string? Outline)[] Layers =
    [
        ("mixed-pads", "mixed-pads", "Gerber_TopPasteMaskLayer.GTP", "Gerber_BoardOutlineLayer.GKO"),
        ("page-frame", "page-frame", "esp-rust-board-F_Paste.gbr", "esp-rust-board-Edge_Cuts.gbr"),
        ("paired-svg", "paired-svg", "icezum-F.Paste.gbr", "icezum-Edge.Cuts.gbr"),
        ("hatched-pads", "hatched-pads", "solderpaste_top.gbr", "profile.gbr"),
        ("outline-with-dimensions", "outline-with-dimensions", "pixhawk_debug_adapter_mini.GTP", "pixhawk_debug_adapter_mini.GM1"),
        ("outline-on-artwork top", "outline-on-artwork", "PAST_TOP.art", null),
        ("outline-on-artwork bottom", "outline-on-artwork", "PAST_BOT.art", null),
        ("old-codes top", "old-codes", "TopPaste.gbr", "BoardOutline.gbr"),
        ("old-codes bottom", "old-codes", "BottomPaste.gbr", "BoardOutline.gbr"),
        ("modal-lines top", "modal-lines", "OBCI_V4_C - Top Paste Mask.gbr", "OBCI_V4_C - Board Outline.gbr"),
        ("modal-lines bottom", "modal-lines", "OBCI_V4_C - Bottom Paste Mask.gbr", "OBCI_V4_C - Board Outline.gbr"),
    ];

    /// <summary>Random boards of five ways to be laid out, from plain to crowded.</summary>
    public static readonly (string Name, BoardOrder Order)[] Orders =
    [
        ("plain", new(0, 150, 0, 0, 0, 1.0, 0)),
        ("turned", new(0, 150, 33.7, 0.2, 0.002, 0.6, 0.1)),
        ("rounded coordinates", new(0, 150, 0, 0.1, 0.006, 0.5, 0.1)),
        ("rows of chips", new(0, 150, 0, 0, 0.001, 0.4, 0.5)),
        ("crowded", new(0, 150, 90, 0.1, 0.004, 0.2, 0.3)),
    ];

    /// <summary>The table of the documents.</summary>
    public static string Table()
    {
        var text = new StringBuilder(TruthScore.Head).Append('\n');
        var (wrong, missed) = (new List<string>(), new List<string>());
        foreach (var board in (TruthBoard[])[.. TruthBoards.Samples(), .. TruthBoards.Real()])
        {
            Line(board.Name, [board]);
        }

        foreach (var (name, order) in Orders)
        {
            Line("random, " + name, [.. Enumerable.Range(1, 20).Select(seed => RandomBoards.Make(order with { Seed = seed }))]);
        }

        text.Append('\n');
        foreach (var count in (int[])[120, 1170, 11700])
        {
            var board = RandomBoards.Make(Orders[2].Order with { Seed = 7, PartCount = count });
            text.Append(CultureInfo.InvariantCulture, $"{board.Paste.Openings.Length} openings, {board.Parts.Count} parts: {MedianMs(board.Paste, 7):0.0} ms\n");
        }

        foreach (var (name, deep, pitch) in ((string, double, double)[])[("square pads that could pair either way", 0.6, 1.0), ("rows of contacts", 1.5, 0.7)])
        {
            text.Append(CultureInfo.InvariantCulture, $"20000 {name}: {MedianMs(RandomBoards.Field(200, 100, 0.6, deep, pitch, deep + 0.6), 3):0.0} ms\n");
        }

        text.Append('\n').Append(TruthLists.Table()).Append('\n');
        foreach (var line in missed)
        {
            text.Append("not grouped: ").Append(line).Append('\n');
        }

        foreach (var line in wrong)
        {
            text.Append("sure and wrong: ").Append(line).Append('\n');
        }

        return text.ToString();

        void Line(string name, IReadOnlyList<TruthBoard> boards)
        {
            var score = new TruthScore();
            foreach (var board in boards)
            {
                score.Add(board, FootprintFinder.Find(board.Paste));
            }

            wrong.AddRange(score.Wrong);
            if (score.Missed.Length > 0)
            {
                missed.Add($"{name}: {score.Missed}");
            }

            text.Append(score.Line(name)).Append('\n');
        }
    }

    /// <summary>Parts of every real board by kind and size, or each part of one.</summary>
    public static string Survey(string? only)
    {
        var text = new StringBuilder();
        var layers = TruthBoards.SampleLayers().ToList();
        if (RealBoards.Folder is not null)
        {
            layers.AddRange(Layers.Where(l => only is null || l.Name.StartsWith(only, StringComparison.Ordinal))
                .Select(l => (l.Name, TruthBoards.Real(l.Folder, l.Paste, l.Outline))));
        }

        foreach (var (name, named) in layers)
        {
            if (only is not null && !name.StartsWith(only, StringComparison.Ordinal))
            {
                continue;
            }

            var paste = TruthBoards.WithoutNames(named);
            var list = FootprintFinder.Find(paste);
            text.Append(CultureInfo.InvariantCulture, $"{name}: {paste.Openings.Length} openings, {list.Parts.Length} parts\n");
            if (only is null)
            {
                foreach (var group in list.Parts.GroupBy(Kind).OrderBy(g => g.Key, StringComparer.Ordinal))
                {
                    text.Append(CultureInfo.InvariantCulture, $"  {group.Count(),4}  {group.Key}\n");
                }

                continue;
            }

            foreach (var part in list.Parts)
            {
                var names = string.Join(' ', part.Pads.Select(p => named.Openings[p.Index].Component ?? "").Distinct());
                text.Append(CultureInfo.InvariantCulture, $"  {part.Confidence:0.00} ({part.Center.X:0.00}, {part.Center.Y:0.00}) {part.RotationDeg:0.#}° {Kind(part)} [{names}] {part.Why}\n");
            }
        }

        return text.ToString();
    }

    /// <summary>Time of the finder alone, the median of some runs, milliseconds.</summary>
    public static double MedianMs(PasteLayer paste, int runs)
    {
        var times = new double[runs];
        for (var k = 0; k < runs; k++)
        {
            var watch = Stopwatch.StartNew();
            FootprintFinder.Find(paste);
            times[k] = watch.Elapsed.TotalMilliseconds;
        }

        Array.Sort(times);
        return times[runs / 2];
    }

    private static string Kind(BoardPart part)
    {
        var size = part.SizeImperial is null ? "" : " " + part.SizeImperial;
        var pads = part.Class is PartClass.Chip or PartClass.Single ? "" : string.Create(CultureInfo.InvariantCulture, $" of {part.Pads.Length} at {part.PitchMm:0.##}");
        return $"{part.Class}{size}{pads}{(part.Confidence < BoardPart.SureFrom ? " ?" : "")}";
    }
}
