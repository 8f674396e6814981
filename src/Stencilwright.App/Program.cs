using Stencilwright.App.Cli;
using Stencilwright.Workbench.Shop;

namespace Stencilwright.App;

internal static class Program
{
    private static int Main(string[] args)
    {
        Console.OutputEncoding = new System.Text.UTF8Encoding(encoderShouldEmitUTF8Identifier: false);
        var shop = new ShopCatalogue(ShopFolder.Usual(Environment.GetEnvironmentVariable, OperatingSystem.IsWindows()));
        return new CommandLineDoor(Terminal.OfProcess(), UseCases.Real, shop).Run(args);
    }
}
