using Stencilwright.Workbench.Workshop;
using Xunit;

namespace Stencilwright.Workbench.Tests.Shop;

public sealed class WorkshopShopTests
{
    [Theory]
    [InlineData("film", "polyester-102", true)]
    [InlineData("film", "", true)]
    [InlineData("film", "x.toml", false)]
    [InlineData("laser", "../x", false)]
    [InlineData("frame", "C:\\x", false)]
    [InlineData("board", "/etc/x", false)]
    public void A_job_in_the_workshop_names_things_but_no_files(string name, string text, bool isGood) =>
        Assert.Equal(isGood, WorkshopSettings.Wrong(name, text) is null);
}
