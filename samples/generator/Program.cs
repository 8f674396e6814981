namespace Stencilwright.Samples;

internal static class Program
{
    /// <summary>Writes the boards into the folder given, or into the current one.</summary>
    private static int Main(string[] args)
    {
        var root = args.Length > 0 ? args[0] : ".";
        foreach (var board in SampleBoards.All())
        {
            var folder = Path.Combine(root, board.Name);
            Directory.CreateDirectory(folder);
            foreach (var (file, bytes) in board.Files())
            {
                File.WriteAllBytes(Path.Combine(folder, file), bytes);
            }
        }

        return 0;
    }
}
