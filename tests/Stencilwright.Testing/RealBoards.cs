using System.Runtime.CompilerServices;

namespace Stencilwright.Testing;

/// <summary>Finds the folder of real boards that may lie beside the checkout; the project's own suite is sound without it.</summary>
public static class RealBoards
{
    /// <summary>The folder, or null when it is not there (a test then skips and says so).</summary>
    public static string? Folder { get; } = Find();

    /// <summary>What a skipped test says.</summary>
    public const string Absent = "The folder of real boards is not beside this checkout (set STENCILWRIGHT_BOARDS to name it).";

    /// <summary>The root of the checkout.</summary>
    public static string CheckoutRoot { get; } = Root();

    private static string? Find([CallerFilePath] string here = "")
    {
        var named = Environment.GetEnvironmentVariable("STENCILWRIGHT_BOARDS");
        if (!string.IsNullOrEmpty(named))
        {
            return Directory.Exists(named) ? named : null;
        }

        for (var at = Path.GetDirectoryName(here); at is not null; at = Path.GetDirectoryName(at))
        {
            var candidate = Path.Combine(at, "shared", "boards");
            if (Directory.Exists(candidate))
            {
                return candidate;
            }
        }

        return null;
    }

    private static string Root([CallerFilePath] string here = "")
    {
        var at = Path.GetDirectoryName(here);
        while (at is not null && !File.Exists(Path.Combine(at, "global.json")))
        {
            at = Path.GetDirectoryName(at);
        }

        return at ?? throw new DirectoryNotFoundException("The checkout's root (with global.json) was not found above " + here);
    }
}
