using System.Globalization;
using BenchmarkDotNet.Running;
using Stencilwright.Benchmarks;

// `board DIR COUNT` writes an invented package for whole-command.sh, `ratios` prints the least times of ours and the peer in turn;
// anything else goes to the benchmarks.
if (args is ["board", var folder, var count])
{
    BoardMaker.Write(folder, int.Parse(count, CultureInfo.InvariantCulture));
    return;
}

if (args is ["ratios"])
{
    Ratios.Print();
    return;
}

BenchmarkSwitcher.FromAssembly(typeof(PadInsetBenchmark).Assembly).Run(args);
