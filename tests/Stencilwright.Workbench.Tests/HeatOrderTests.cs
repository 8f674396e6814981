using Stencilwright.Cutting;
using Stencilwright.Foundation;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Workbench.Tests;

/// <summary>What minding heat brings on the dense sample, as docs/algorithms/heat.md states it.</summary>
public sealed class HeatOrderTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("stencilwright-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void On_the_dense_sample_the_worst_web_is_cooler_when_the_beam_comes_back_for_at_most_15_percent_more_travel()
    {
        var (heedless, minding) = (Plan(JobSettings.Default with { ReheatWeight = 0 }), Plan(JobSettings.Default));
        Assert.True(minding.Film.TravelLengthMm <= 1.15 * heedless.Film.TravelLengthMm);
        Assert.True(Worst(minding) <= Worst(heedless) - 50, $"{Worst(heedless):0.0} K heedless, {Worst(minding):0.0} K minding");
        Assert.True(Mean(minding) <= Mean(heedless) / 3, $"{Mean(heedless):0.0} K heedless, {Mean(minding):0.0} K minding");
    }

    private static double Mean(CutPlan plan) => plan.Openings.Where(o => o.WebHeat is not null).Average(o => o.WebHeat!.Value.ResidualRiseK);

    private static double Worst(CutPlan plan) => plan.Openings.Max(o => o.WebHeat?.ResidualRiseK ?? 0);

    private CutPlan Plan(JobSettings settings)
    {
        var request = new JobRequest
        {
            Paths = [Path.Combine(RealBoards.CheckoutRoot, "samples", "dense")],
            Settings = settings,
            OutDirectory = _folder,
        };
        return Assert.Single(PrepareUseCase.Run(request, () => Stream.Null, new Progress<string>()).Job!.Sides).Plan;
    }
}
