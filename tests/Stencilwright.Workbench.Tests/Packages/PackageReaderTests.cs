using System.IO.Compression;
using System.Text;
using Stencilwright.Foundation;
using Stencilwright.Workbench.Packages;
using Xunit;

namespace Stencilwright.Workbench.Tests.Packages;

public sealed class PackageReaderTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("packages").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private static Outcome<Package> Read(params string[] paths) =>
        PackageReader.Read(paths, null, PackageLimits.Default, TestContext.Current.CancellationToken);

    private string Put(string name, string content = "G04*")
    {
        var path = Path.Combine(_folder, name);
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        File.WriteAllText(path, content);
        return path;
    }

    private string Zip(string zipName, params (string Name, string Content)[] files)
    {
        var path = Path.Combine(_folder, zipName);
        using var archive = ZipFile.Open(path, ZipArchiveMode.Create);
        foreach (var (name, content) in files)
        {
            using var writer = new StreamWriter(archive.CreateEntry(name).Open());
            writer.Write(content);
        }

        return path;
    }

    [Fact]
    public void A_zip_and_a_folder_of_the_same_files_give_the_same_package()
    {
        Put("job/b.gbr", "2");
        Put("job/a.gbr", "1");
        Put("job/sub/c.gbr", "3");
        Put("job/.hidden", "4");
        var zip = Zip("job.zip", ("sub/c.gbr", "3"), ("b.gbr", "2"), ("a.gbr", "1"), (".hidden", "4"), ("__MACOSX/x", "5"), ("sub/", ""));
        var (folder, packed) = (Read(Path.Combine(_folder, "job")), Read(zip));
        Assert.Empty(folder.Diagnostics);
        Assert.Empty(packed.Diagnostics);
        Assert.Equal("job", packed.Value!.Name);
        Assert.Equal(["a.gbr", "b.gbr", "sub/c.gbr"], packed.Value.Files.Select(f => f.Name));
        Assert.Equal(folder.Value!.Files.Select(Text), packed.Value.Files.Select(Text));
    }

    private static string Text(PackageFile file) => $"{file.Name}={Encoding.UTF8.GetString(file.Source.Bytes.Span)}";

    [Fact]
    public void Single_files_and_standard_input_come_in_the_order_given()
    {
        var (b, a) = (Put("b.gbr", "2"), Put("a.gbr", "1"));
        using var input = new MemoryStream("0"u8.ToArray());
        var outcome = PackageReader.Read([b, "-", a], input, PackageLimits.Default, TestContext.Current.CancellationToken);
        Assert.Equal(["b.gbr=2", "stdin=0", "a.gbr=1"], outcome.Value!.Files.Select(Text));
    }

    [Fact]
    public void A_zip_on_standard_input_is_opened()
    {
        using var input = File.OpenRead(Zip("x.zip", ("a.gbr", "1")));
        var outcome = PackageReader.Read(["-"], input, PackageLimits.Default, TestContext.Current.CancellationToken);
        Assert.Equal(["a.gbr=1"], outcome.Value!.Files.Select(Text));
    }

    [Theory]
    [InlineData("../evil.gbr")]
    [InlineData("a/../../evil.gbr")]
    [InlineData("..\\evil.gbr")]
    [InlineData("/etc/evil.gbr")]
    [InlineData("C:\\evil.gbr")]
    public void Names_that_point_outside_are_refused_and_the_rest_is_read(string name)
    {
        var outcome = Read(Zip("x.zip", (name, "1"), ("good.gbr", "2")));
        var fault = Assert.Single(outcome.Diagnostics);
        Assert.Equal(("PKG006", Severity.Error), (fault.Code, fault.Severity));
        Assert.Equal(["good.gbr=2"], outcome.Value!.Files.Select(Text));
        Assert.Equal(["x.zip"], Directory.GetFileSystemEntries(_folder).Select(Path.GetFileName));
    }

    [Theory]
    [InlineData("it's \"quoted\" <b>&amp;.gbr")]
    [InlineData("Плата-верх ペースト 🙂.gbr")]
    [InlineData("O'Brien; rm -rf.gbr")]
    public void Odd_names_are_kept_as_they_are(string name) =>
        Assert.Equal([name], Read(Zip("x.zip", (name, "1"))).Value!.Files.Select(f => f.Name));

    [Fact]
    public void Control_characters_of_a_name_cannot_forge_lines_of_output()
    {
        var file = Assert.Single(Read(Zip("x.zip", ("a\nerror: b\u001b[31m.gbr", "1"))).Value!.Files);
        Assert.Equal("a\uFFFDerror: b\uFFFD[31m.gbr", file.Name);
    }

    [Fact]
    public void Equal_names_but_for_capitals_keep_the_first()
    {
        var outcome = Read(Zip("x.zip", ("A.gbr", "1"), ("a.GBR", "2")));
        Assert.Equal(["A.gbr=1"], outcome.Value!.Files.Select(Text));
        Assert.Equal("PKG008", Assert.Single(outcome.Diagnostics).Code);
    }

    [Fact]
    public void A_zip_inside_a_zip_stays_closed()
    {
        var inner = File.ReadAllBytes(Zip("in.zip", ("a.gbr", "1")));
        var path = Path.Combine(_folder, "out.zip");
        using (var archive = ZipFile.Open(path, ZipArchiveMode.Create))
        {
            using var stream = archive.CreateEntry("in.zip").Open();
            stream.Write(inner);
        }

        var outcome = Read(path);
        Assert.Null(outcome.Value);
        Assert.Contains(outcome.Diagnostics, d => d is { Code: "PKG009", Severity: Severity.Note });
        Assert.Contains(outcome.Diagnostics, d => d is { Code: "PKG010", Severity: Severity.Error });
    }

    [Fact]
    public void Bounds_end_in_messages()
    {
        var zip = Zip("x.zip", ("a.gbr", new string('1', 4000)), ("b.gbr", "2"), ("c.gbr", "3"));
        Assert.Contains(WithLimits(zip, PackageLimits.Default with { MaxEntries = 2 }).Diagnostics, d => d.Code == "PKG007");
        Assert.Equal(["b.gbr", "c.gbr"], WithLimits(zip, PackageLimits.Default with { MaxFileBytes = 100 }).Value!.Files.Select(f => f.Name));
        Assert.Null(WithLimits(zip, PackageLimits.Default with { MaxTotalBytes = 100 }).Value);
        var bomb = WithLimits(zip, PackageLimits.Default with { RatioFreeBytes = 100, MaxRatio = 50 });
        Assert.Equal(["b.gbr", "c.gbr"], bomb.Value!.Files.Select(f => f.Name));
        Assert.Equal("PKG007", Assert.Single(bomb.Diagnostics).Code);
    }

    private static Outcome<Package> WithLimits(string path, PackageLimits limits) =>
        PackageReader.Read([path], null, limits, TestContext.Current.CancellationToken);

    [Fact]
    public void A_damaged_byte_of_a_stored_file_is_noticed()
    {
        var path = Path.Combine(_folder, "x.zip");
        using (var archive = ZipFile.Open(path, ZipArchiveMode.Create))
        {
            using var stream = archive.CreateEntry("a.gbr", CompressionLevel.NoCompression).Open();
            stream.Write("X000Y000D03*"u8);
        }

        var bytes = File.ReadAllBytes(path);
        bytes[bytes.AsSpan().IndexOf("X000"u8) + 2] = (byte)'9';
        File.WriteAllBytes(path, bytes);
        Assert.Contains(Read(path).Diagnostics, d => d is { Code: "PKG005", Place.File: "a.gbr" });
    }

    [Fact]
    public void A_locked_file_is_named()
    {
        var path = Zip("x.zip", ("a.gbr", "1"));
        var bytes = File.ReadAllBytes(path);
        // Bit 0 of the general purpose flags, in the local header and in the directory (zip application note, 4.4.4).
        bytes[6] |= 1;
        bytes[bytes.AsSpan().IndexOf([(byte)'P', (byte)'K', 1, 2]) + 8] |= 1;
        File.WriteAllBytes(path, bytes);
        Assert.Contains(Read(path).Diagnostics, d => d is { Code: "PKG004", Place.File: "a.gbr" });
    }

    [Fact]
    public void A_zip_cut_anywhere_never_throws()
    {
        var bytes = File.ReadAllBytes(Zip("x.zip", ("a.gbr", "G04 one*"), ("b/c.gbr", "G04 two*")));
        for (var length = 0; length < bytes.Length; length += 3)
        {
            var path = Path.Combine(_folder, "cut.zip");
            File.WriteAllBytes(path, bytes[..length]);
            Assert.True(Read(path).Failed);
        }
    }

    [Fact]
    public void Missing_empty_and_wrongly_named_packages_are_errors()
    {
        Assert.Equal("PKG001", Assert.Single(Read(Path.Combine(_folder, "nothing.zip")).Diagnostics).Code);
        Assert.Equal("PKG003", Assert.Single(Read(Put("text.zip", "not a zip")).Diagnostics).Code);
        Assert.Equal("PKG010", Assert.Single(Read(Zip("empty.zip")).Diagnostics).Code);
        Directory.CreateDirectory(Path.Combine(_folder, "bare"));
        Assert.Equal("PKG010", Assert.Single(Read(Path.Combine(_folder, "bare")).Diagnostics).Code);
        Assert.Equal("PKG002", Assert.Single(Read("-").Diagnostics).Code);
        Assert.Equal("PKG001", Assert.Single(Read("bad\0path").Diagnostics).Code);
    }
}
