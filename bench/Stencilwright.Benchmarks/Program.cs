using System.Globalization;
using BenchmarkDotNet.Running;
using Stencilwright.Benchmarks;
using Stencilwright.Boards.Tests.Parts;

// `board DIR COUNT` writes an invented package for whole-command.sh, `ratios` prints the least times of ours and the peer in turn;
// anything else goes to the benchmarks.
if (args is ["board", var folder, var count])
{
    BoardMaker.Write(folder, int.Parse(count, CultureInfo.InvariantCulture));
    return;
}

// `footprints` prints how well parts are told from openings; `footprints survey [BOARD]` what is found on the real boards.
if (args is ["footprints", ..])
{
    Console.Write(args is ["footprints", "survey", ..] ? FootprintBench.Survey(args.ElementAtOrDefault(2)) : FootprintBench.Table());
    return;
}

// `analysis FILE` times parts, rules, webs, widths and verdicts of a paste layer.
if (args is ["analysis", var layer])
{
    Console.Write(AnalysisBench.Table(layer));
    return;
}

if (args is ["ratios"])
{
    Ratios.Print();
    return;
}

BenchmarkSwitcher.FromAssembly(typeof(PadInsetBenchmark).Assembly).Run(args);
