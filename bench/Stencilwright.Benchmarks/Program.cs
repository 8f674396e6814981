using System.Globalization;
using BenchmarkDotNet.Running;
using Stencilwright.Benchmarks;
using Stencilwright.Boards.Tests.Parts;
using Stencilwright.Testing;

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

// `order FILE|COUNT EFFORTS [BEST] [alone]` compares ways through points with the peer's in equal time, unless left alone.
if (args is ["order", var problem, var efforts, ..])
{
    long[] steps = [.. efforts.Split(',').Select(e => long.Parse(e, CultureInfo.InvariantCulture))];
    _ = double.TryParse(args.ElementAtOrDefault(3), NumberStyles.Float, CultureInfo.InvariantCulture, out var best);
    OrderBench.Print(problem, steps, best, args[^1] != "alone");
    return;
}

// `workshop COUNT [ROUNDS]` times the page of openings in a browser; the published program (./stencilwright) must have been built.
if (args is ["workshop", var many, ..])
{
    var rounds = args.Length > 2 ? int.Parse(args[2], CultureInfo.InvariantCulture) : 3;
    await WorkshopBench.PrintAsync(int.Parse(many, CultureInfo.InvariantCulture), rounds, Path.Combine(RealBoards.CheckoutRoot, "artifacts", "stencilwright", "stencilwright.dll"));
    return;
}

if (args is ["ratios"])
{
    Ratios.Print();
    return;
}

BenchmarkSwitcher.FromAssembly(typeof(PadInsetBenchmark).Assembly).Run(args);
