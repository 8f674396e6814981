using Stencilwright.App.Cli;

namespace Stencilwright.App;

internal static class Program
{
    private static int Main(string[] args)
    {
        Console.OutputEncoding = new System.Text.UTF8Encoding(encoderShouldEmitUTF8Identifier: false);
        return new CommandLineDoor(Terminal.OfProcess(), UseCases.Real).Run(args);
    }
}
