using BenchmarkDotNet.Running;

BenchmarkSwitcher.FromAssembly(typeof(Stencilwright.Benchmarks.PadInsetBenchmark).Assembly).Run(args);
