using System.IO.Compression;
using System.Security.Cryptography;
using System.Text;
using Stencilwright.App.Cli;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.App.Tests;

/// <summary>The whole program on the samples and on input that means harm, through the same door as a person.</summary>
public sealed class JobFilesTests : IDisposable
{
    private const string Header = "%FSLAX46Y46*%\n%MOMM*%\n";

    private readonly string _folder = Directory.CreateTempSubdirectory("stencilwright-").FullName;

    private string Out => Path.Combine(_folder, "out");

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    /// <summary>Approved: digests of every file that holds numbers, and the smallest sample's cut paths in full.</summary>
    [Theory]
    [InlineData("blinky")]
    [InlineData("dense")]
    [InlineData("twoside")]
    public void A_sample_gives_the_approved_files_and_the_same_bytes_again(string sample)
    {
        var source = Path.Combine(RealBoards.CheckoutRoot, "samples", sample);
        var first = Prepare(source, Out);
        var again = Prepare(source, Out + "-again");
        Assert.Equal(first, again);
        var text = new StringBuilder();
        foreach (var (name, digest) in first.Where(f => !f.Key.EndsWith(".pdf", StringComparison.Ordinal) && !f.Key.EndsWith(".png", StringComparison.Ordinal)))
        {
            text.Append(digest).Append("  ").Append(name).Append('\n');
        }

        Approve.Text(text.ToString(), name: sample);
        if (sample == "blinky")
        {
            Approve.Text(File.ReadAllText(Path.Combine(Out, "top", "film.svg")), "svg", sample + ".film");
            Approve.Text(File.ReadAllText(Path.Combine(Out, "top", "frame.nc")), "nc", sample + ".frame");
        }
    }

    [Theory]
    [InlineData("empty-F_Paste.gbr", "", "PKG096")]
    [InlineData("words-F_Paste.gbr", "these are words and no artwork", "PKG096")]
    [InlineData("cut-F_Paste.gbr", Header + "%ADD10C,0.5*%\nD10*\nX1000000Y10", "ART002")]
    [InlineData("far-F_Paste.gbr", Header + "%ADD10C,0.5*%\nD10*\nX99999999999999Y0D03*\nM02*\n", "ART010")]
    [InlineData("repeat-F_Paste.gbr", Header + "%ADD10C,0.5*%\nD10*\n%SRX1000000000Y1000000000I0.1J0.1*%\nX0Y0D03*\n%SR*%\nM02*\n", "ART025")]
    [InlineData("self-F_Paste.gbr", Header + "%ABD11*%\nD11*\nX0Y0D03*\n%AB*%\nD11*\nX0Y0D03*\nM02*\n", "ART013")]
    [InlineData("zero-F_Paste.gbr", Header + "%AMX*1,1,1/0,0,0*%\n%ADD10X*%\nD10*\nX0Y0D03*\nM02*\n", "ART017")]
    [InlineData("laughs-F_Paste.svg", "<!DOCTYPE svg [<!ENTITY a \"aaaa\"><!ENTITY b \"&a;&a;&a;\">]><svg xmlns=\"http://www.w3.org/2000/svg\" width=\"9mm\" height=\"9mm\" viewBox=\"0 0 9 9\"><path d=\"&b;\"/></svg>", "ART103")]
    public void Input_that_cannot_be_used_is_exit_3_with_its_place_and_leaves_nothing(string name, string content, string code)
    {
        var path = Path.Combine(_folder, name);
        File.WriteAllText(path, content);
        RefusedWith(code, path);
    }

    // Sixty thousand strokes across one another cross hundreds of millions of times; the reader must say so and stop.
    [Fact]
    public void A_layer_that_crosses_itself_without_end_is_refused()
    {
        var random = new Random(1);
        var text = new StringBuilder(Header + "%ADD10C,0.2*%\nD10*\n");
        for (var i = 0; i < 60_000; i++)
        {
            text.Append(System.Globalization.CultureInfo.InvariantCulture, $"X{random.Next(50_000_000)}Y{random.Next(50_000_000)}D0{(i == 0 ? 2 : 1)}*\n");
        }

        var path = Path.Combine(_folder, "tangle-F_Paste.gbr");
        File.WriteAllText(path, text.Append("M02*\n").ToString());
        RefusedWith("ART033", path);
    }

    [Fact]
    public void A_binary_file_in_a_layer_s_name_is_refused()
    {
        var path = Path.Combine(_folder, "noise-F_Paste.gbr");
        var noise = new byte[100_000];
        new Random(7).NextBytes(noise);
        File.WriteAllBytes(path, noise);
        RefusedWith("PKG096", path);
    }

    [Theory]
    [InlineData("../../outside-F_Paste.gbr", 10, "PKG006")]
    [InlineData("bomb-F_Paste.gbr", 64 << 20, "PKG007")]
    public void A_package_that_means_harm_is_refused(string entry, int zeros, string code)
    {
        var path = Path.Combine(_folder, "package.zip");
        using (var archive = ZipFile.Open(path, ZipArchiveMode.Create))
        {
            using var stream = archive.CreateEntry(entry).Open();
            stream.Write(new byte[zeros]);
        }

        RefusedWith(code, path);
        Assert.False(File.Exists(Path.Combine(_folder, "..", "outside-F_Paste.gbr")));
    }

    private static SortedDictionary<string, string> Prepare(string source, string to)
    {
        var (code, error) = Run("prepare", source, "--out", to);
        Assert.True(code == 0, error);
        var files = new SortedDictionary<string, string>(StringComparer.Ordinal);
        foreach (var file in Directory.GetFiles(to, "*", SearchOption.AllDirectories))
        {
            files.Add(Path.GetRelativePath(to, file).Replace('\\', '/'), Convert.ToHexStringLower(SHA256.HashData(File.ReadAllBytes(file))));
        }

        Assert.True(files.Count >= 11, "too few files");
        return files;
    }

    private void RefusedWith(string code, string path)
    {
        var (exit, error) = Run("prepare", path, "--out", Out);
        Assert.Equal(3, exit);
        Assert.Contains(code, error, StringComparison.Ordinal);
        Assert.DoesNotContain("   at ", error, StringComparison.Ordinal);
        Assert.False(Directory.Exists(Out));
    }

    private static (int Code, string Error) Run(params string[] args)
    {
        using var output = new StringWriter();
        using var error = new StringWriter();
        var code = new CommandLineDoor(new Terminal { Out = output, Error = error }, UseCases.Real).Run(args);
        return (code, error.ToString());
    }
}
