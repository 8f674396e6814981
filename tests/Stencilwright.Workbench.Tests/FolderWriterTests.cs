using System.Text;
using Stencilwright.Workbench.Files;
using Xunit;

namespace Stencilwright.Workbench.Tests;

public sealed class FolderWriterTests : IDisposable
{
    private readonly string _root = Directory.CreateTempSubdirectory("stencilwright-").FullName;

    private static readonly (string RelativePath, byte[] Bytes)[] _files =
    [
        ("report.json", Bytes("new report")), ("top/film.svg", Bytes("new film")), ("top/film.nc", Bytes("new code")),
    ];

    public void Dispose() => Directory.Delete(_root, recursive: true);

    [Fact]
    public void All_files_are_written_and_nothing_else_is_left()
    {
        var target = Path.Combine(_root, "a", "b");
        Assert.Empty(FolderWriter.WriteAll(target, _files));
        Assert.Equal(["report.json", "top/film.nc", "top/film.svg"], Tree(target));
        Assert.Equal("new film", File.ReadAllText(Path.Combine(target, "top", "film.svg")));
    }

    [Theory]
    [InlineData("file")]
    [InlineData("file", "below")]
    public void A_file_where_a_folder_is_wanted_is_named(params string[] parts)
    {
        File.WriteAllText(Path.Combine(_root, "file"), "mine");
        var only = Assert.Single(FolderWriter.WriteAll(Path.Combine([_root, .. parts]), _files));
        Assert.Equal("PKG090", only.Code);
        Assert.Contains($"{Path.Combine(_root, "file")} is a file, not a folder", only.Message, StringComparison.Ordinal);
        Assert.Equal("mine", File.ReadAllText(Path.Combine(_root, "file")));
    }

    [Fact]
    public void A_second_run_replaces_the_first()
    {
        Assert.Empty(FolderWriter.WriteAll(_root, [("report.json", Bytes("a longer, older report"))]));
        Assert.Empty(FolderWriter.WriteAll(_root, _files));
        Assert.Equal("new report", File.ReadAllText(Path.Combine(_root, "report.json")));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2)]
    public void A_failure_at_any_file_keeps_what_was_there_and_leaves_nothing_half_written(int failAt)
    {
        File.WriteAllText(Path.Combine(_root, "report.json"), "old report");
        var made = 0;
        var said = FolderWriter.WriteAll(_root, _files, path => made++ == failAt ? new FullDisk(path) : File.Create(path));
        Assert.Equal("PKG090", Assert.Single(said).Code);
        Assert.Equal(["report.json"], Tree(_root));
        Assert.False(Directory.Exists(Path.Combine(_root, "top")));
        Assert.Equal("old report", File.ReadAllText(Path.Combine(_root, "report.json")));
    }

    // A folder that comes in the way while the files are being written, so that it is met by a rename.
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2)]
    public void A_rename_that_fails_in_the_middle_puts_back_what_was_replaced(int failAt)
    {
        Directory.CreateDirectory(Path.Combine(_root, "top"));
        foreach (var (path, _) in _files.Where((_, i) => i != failAt))
        {
            File.WriteAllText(Path.Combine(_root, path), "old " + path);
        }

        var before = Tree(_root);
        var only = Assert.Single(FolderWriter.WriteAll(_root, _files, path =>
        {
            if (path.Contains("film.nc", StringComparison.Ordinal))
            {
                Directory.CreateDirectory(Path.Combine(_root, _files[failAt].RelativePath, "inside"));
            }

            return File.Create(path);
        }));
        Assert.Equal("PKG090", only.Code);
        Assert.Contains("nothing was changed", only.Message, StringComparison.Ordinal);
        Assert.DoesNotContain("in the way", only.Message, StringComparison.Ordinal);
        Assert.Equal(before, Tree(_root));
        Assert.All(before, path => Assert.Equal("old " + path.Replace('\\', '/'), File.ReadAllText(Path.Combine(_root, path))));
    }

    [Fact]
    public void A_rename_that_fails_in_the_middle_takes_new_files_away()
    {
        var only = Assert.Single(FolderWriter.WriteAll(_root, _files, path =>
        {
            if (path.Contains("film.nc", StringComparison.Ordinal))
            {
                Directory.CreateDirectory(Path.Combine(_root, "top", "film.nc", "inside"));
            }

            return File.Create(path);
        }));
        Assert.Equal("PKG090", only.Code);
        Assert.Empty(Tree(_root));
    }

    [Fact]
    public void A_folder_where_a_file_should_go_is_refused()
    {
        Directory.CreateDirectory(Path.Combine(_root, "top", "film.nc"));
        var only = Assert.Single(FolderWriter.WriteAll(_root, _files));
        Assert.Contains("in the way", only.Message, StringComparison.Ordinal);
        Assert.Empty(Tree(_root));
    }

    [Fact]
    public void A_file_where_the_folder_should_go_is_refused_and_kept()
    {
        var file = Path.Combine(_root, "out");
        File.WriteAllText(file, "mine");
        Assert.Single(FolderWriter.WriteAll(file, _files));
        Assert.Equal("mine", File.ReadAllText(file));
    }

    [Fact]
    public void A_folder_that_may_not_be_written_is_refused()
    {
        Assert.SkipWhen(!OperatingSystem.IsLinux(), "Needs a folder that nobody may write into; /proc is one.");
        Assert.Equal("PKG090", Assert.Single(FolderWriter.WriteAll("/proc/stencilwright", _files)).Code);
    }

    [Theory]
    [InlineData("../escaped.txt")]
    [InlineData("/absolute.txt")]
    [InlineData("top//film.svg")]
    [InlineData("top\\film.svg")]
    public void A_path_that_leaves_the_folder_is_the_caller_s_mistake(string path) =>
        Assert.Throws<ArgumentException>(() => FolderWriter.WriteAll(_root, [(path, [])]));

    [Fact]
    public void Files_left_from_a_former_run_are_named_and_kept()
    {
        Assert.Empty(FolderWriter.WriteAll(_root, [.. _files, ("bottom/film.svg", Bytes("old"))]));
        var left = FolderWriter.LeftFromBefore(_root, ["top/film.svg", "bottom/film.svg", "bottom/film.nc"], _files.Select(f => f.RelativePath));
        Assert.Equal(["bottom/film.svg"], left);
        Assert.True(File.Exists(Path.Combine(_root, "bottom", "film.svg")));
    }

    private static byte[] Bytes(string text) => Encoding.UTF8.GetBytes(text);

    private static string[] Tree(string folder) =>
        [.. Directory.GetFiles(folder, "*", SearchOption.AllDirectories).Select(f => Path.GetRelativePath(folder, f)).Order(StringComparer.Ordinal)];

    // Takes three bytes, then has no room, as a full disk does.
    private sealed class FullDisk(string path) : FileStream(path, FileMode.Create)
    {
        public override void Write(ReadOnlySpan<byte> buffer)
        {
            base.Write(buffer[..3]);
            throw new IOException("No space left on device");
        }
    }
}
