using Stencilwright.Foundation;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Workbench.Tests;

public sealed class BoardCopiesTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("copies-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [InlineData(2, 1)]
    [InlineData(1, 2)]
    [InlineData(2, 2)]
    public void Copies_have_the_same_openings_parts_and_webs_each_a_step_away(int across, int up)
    {
        var settings = JobSettings.Default with { FilmBlankMm = new(250, 250), FrameBlankMm = new(300, 300) };
        var alone = Prepare(settings);
        var (one, several) = (alone.Sides[0], Prepare(settings with { BoardsAcross = across, BoardsUp = up }).Sides[0]);
        var n = one.Design.Openings.Length;
        Assert.Equal(n * across * up, several.Design.Openings.Length);
        Assert.Equal(one.Design.Parts.Length * across * up, several.Design.Parts.Length);
        for (var k = 0; k < across * up; k++)
        {
            var stepX = k % across * (alone.Outline!.WidthMm + settings.BoardsGapMm);
            var stepY = k / across * (alone.Outline.HeightMm + settings.BoardsGapMm);
            for (var i = 0; i < n; i++)
            {
                var (first, copy) = (several.Design.Openings[i].Design, several.Design.Openings[(k * n) + i].Design);
                Assert.Equal(one.Design.Openings[i].Design.AreaMm2, copy.AreaMm2, 9);
                Assert.Equal(several.Plan.Openings[i].AreaRatio, several.Plan.Openings[(k * n) + i].AreaRatio, 9);
                Assert.Equal(first.Centroid.X + stepX, copy.Centroid.X, 1e-6);
                Assert.Equal(first.Centroid.Y + stepY, copy.Centroid.Y, 1e-6);
            }
        }

        Assert.Equal(across * up, several.Design.Frame!.Pocket.Contours.Count(c => c.SignedAreaMm2 > 0));
        Assert.DoesNotContain(several.Findings, f => f.Severity == Severity.Error);
    }

    [Fact]
    public void Copies_that_do_not_fit_the_blank_are_said_to_reach_beyond_it()
    {
        var side = Prepare(JobSettings.Default with { BoardsAcross = 6 }).Sides[0];
        Assert.Contains(side.Design.Findings, f => f.Severity == Severity.Error && f.Code == "DSN001");
    }

    private Output.Job Prepare(JobSettings settings) => PrepareUseCase.Run(
        new JobRequest { Paths = [Path.Combine(RealBoards.CheckoutRoot, "samples", "blinky")], Settings = settings, OutDirectory = Path.Combine(_folder, "out"), Version = "test", FailOn = null },
        () => Stream.Null, new Progress<string>()).Job!;
}
