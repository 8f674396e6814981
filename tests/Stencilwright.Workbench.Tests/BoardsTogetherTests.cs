using System.Collections.Immutable;
using Stencilwright.Boards.Roles;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Output;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Workbench.Tests;

/// <summary>Different boards in one frame.</summary>
public sealed class BoardsTogetherTests : IDisposable
{
    private static readonly JobSettings _large = JobSettings.Default with { FilmBlankMm = new(250, 250), FrameBlankMm = new(300, 300), BoardsGapMm = 7 };

    private readonly string _folder = Directory.CreateTempSubdirectory("together-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void Every_board_has_the_openings_that_it_has_alone_in_its_own_place()
    {
        string[] names = ["twoside", "blinky", "dense"];
        var alone = names.Select(n => Prepare([n]).Job!).ToList();
        var together = Prepare(names).Job!;
        foreach (var side in (BoardSide[])[BoardSide.Top, BoardSide.Bottom])
        {
            var expected = new List<(double AreaMm2, Point2 Middle)>();
            var right = alone[0].Outline!.Shape.Bounds.MaxX;
            for (var i = 0; i < names.Length; i++)
            {
                var box = alone[i].Outline!.Shape.Bounds;
                var (x, y) = i == 0 ? (0, 0) : (right + 7 - box.MinX, alone[0].Outline!.Shape.Bounds.MinY - box.MinY);
                right = box.MaxX + x;
                if (alone[i].Sides.FirstOrDefault(s => s.Design.Side == side) is { } its)
                {
                    var moved = Affine2.Translation(x, y);
                    expected.AddRange(its.Design.Openings.Select(o => (o.Design.AreaMm2, moved.Apply(o.Design.Centroid))));
                }
            }

            var made = together.Sides.Single(s => s.Design.Side == side).Design;
            Assert.Equal(expected.Count, made.Openings.Length);
            for (var i = 0; i < expected.Count; i++)
            {
                Assert.Equal(expected[i].AreaMm2, made.Openings[i].Design.AreaMm2, 1e-9);
                Assert.Equal(expected[i].Middle.X, made.Openings[i].Design.Centroid.X, 1e-6);
                Assert.Equal(expected[i].Middle.Y, made.Openings[i].Design.Centroid.Y, 1e-6);
            }

            Assert.Equal(3, made.Frame!.Pocket.Contours.Count(c => c.SignedAreaMm2 > 0));
        }

        Assert.Equal(alone.Sum(j => j.Sources.Length), together.Sources.Length);
        Assert.Contains(together.Sides[0].Findings, f => f.Code == "BRD195" && f.Message.Contains("blinky, dense", StringComparison.Ordinal));
    }

    [Fact]
    public void Parts_keep_their_openings_behind_those_of_the_boards_before()
    {
        var (one, both) = (Prepare(["blinky"]).Job!.Sides[0].Design, Prepare(["dense", "blinky"]).Job!.Sides[0].Design);
        // Parts count openings of the artwork, before panes are made of some.
        var before = both.Openings.Select(o => o.Id.Split('p')[0]).Distinct().Count() - one.Openings.Length;
        var parts = both.Parts[^one.Parts.Length..];
        foreach (var (own, beside) in one.Parts.Zip(parts))
        {
            Assert.Equal(own.Reference, beside.Reference);
            Assert.Equal(own.Pads.Select(p => p.Index + before), beside.Pads.Select(p => p.Index));
        }
    }

    [Fact]
    public void A_board_without_paste_on_a_side_does_not_hinder_one_that_has_it()
    {
        var result = Prepare(["blinky", "twoside"], SideChoice.Bottom);
        Assert.Equal([BoardSide.Bottom], result.Job!.Sides.Select(s => s.Design.Side));
        var neither = Prepare(["blinky", "dense"], SideChoice.Bottom);
        Assert.Null(neither.Job);
        Assert.Contains(neither.Diagnostics, d => d.Code == "PKG093");
    }

    [Fact]
    public void A_board_without_an_outline_is_refused_by_name()
    {
        var bare = Directory.CreateDirectory(Path.Combine(_folder, "bare")).FullName;
        File.Copy(Path.Combine(Sample("blinky"), "blinky-top-paste.gbr"), Path.Combine(bare, "bare-top-paste.gbr"));
        var result = Run([Sample("dense"), bare], SideChoice.Both, null);
        Assert.Null(result.Job);
        Assert.Contains(result.Diagnostics, d => d.Code == "PKG110" && d.Message.StartsWith("bare has no outline", StringComparison.Ordinal));
    }

    [Fact]
    public void Some_parts_alone_are_of_one_board()
    {
        var result = Run([Sample("dense"), Sample("blinky")], SideChoice.Both, OnlyChoice.Parse("0,0,100,100"));
        Assert.Contains(result.Diagnostics, d => d.Code == "PKG111");
    }

    [Fact]
    public void A_role_that_is_given_for_all_boards_is_of_the_one_that_has_the_file()
    {
        ImmutableArray<(string, string)> roles = [("BLINKY-top-paste.gbr", "ignore"), ("none.gbr", "ignore")];
        var (_, beside, said) = BoardsTogether.Gather(new JobRequest { Paths = [Sample("dense")], Roles = roles, Beside = [BoardBeside.At(Sample("blinky"), roles)] }, () => Stream.Null);
        Assert.Equal("none.gbr", Assert.Single(said, d => d.Code == "BRD063").Place.File);
        Assert.Equal(LayerRole.Ignore, beside[0].Single(f => f.Source.Name == "blinky-top-paste.gbr").Role);
    }

    [Fact]
    public void What_is_said_of_a_file_names_its_board_where_two_have_a_file_of_that_name()
    {
        var torn = Directory.CreateDirectory(Path.Combine(_folder, "torn")).FullName;
        foreach (var path in Directory.EnumerateFiles(Sample("blinky")))
        {
            var bytes = File.ReadAllBytes(path);
            File.WriteAllBytes(Path.Combine(torn, Path.GetFileName(path)), path.Contains("paste", StringComparison.Ordinal) ? bytes[..(bytes.Length / 2)] : bytes);
        }

        var said = Run([Sample("blinky"), torn], SideChoice.Both, null).Diagnostics.Where(d => d.Place.File.EndsWith("blinky-top-paste.gbr", StringComparison.Ordinal)).ToList();
        Assert.NotEmpty(said);
        Assert.All(said, d => Assert.Equal("torn/blinky-top-paste.gbr", d.Place.File));
    }

    [Fact]
    public void A_warning_of_another_board_is_said_with_its_name_and_its_place_in_the_frame()
    {
        var stray = Directory.CreateDirectory(Path.Combine(_folder, "stray")).FullName;
        foreach (var path in Directory.EnumerateFiles(Sample("blinky")))
        {
            var text = File.ReadAllText(path);
            // Nothing else is moved: the same pads, and one too many over copper that is not there.
            File.WriteAllText(Path.Combine(stray, Path.GetFileName(path)), path.Contains("paste", StringComparison.Ordinal) ? text.Replace("M02*", "X1000000Y1000000D03*\nM02*", StringComparison.Ordinal) : text);
        }

        static List<Finding> Warnings(Job job) => [.. job.Sides[0].Findings.Where(f => f.Severity > Severity.Note && f.Code.StartsWith("BRD", StringComparison.Ordinal))];
        var alone = Run([stray], SideChoice.Both, null).Job!;
        var together = Run([Sample("dense"), stray], SideChoice.Both, null).Job!;
        var stepMm = Run([Sample("dense")], SideChoice.Both, null).Job!.Outline!.Shape.Bounds.MaxX + 7 - alone.Outline!.Shape.Bounds.MinX;
        Assert.NotEmpty(Warnings(alone));
        foreach (var warning in Warnings(alone))
        {
            var said = Assert.Single(Warnings(together), f => f.Message == "stray: " + warning.Message);
            Assert.Equal(warning.XMm.HasValue, said.XMm.HasValue);
            Assert.Equal((warning.XMm ?? 0) + (warning.XMm is null ? 0 : stepMm), said.XMm ?? 0, 1e-6);
        }
    }

    [Fact]
    public void A_path_of_nothing_is_no_path() =>
        Assert.Contains(Run([Sample("dense"), ""], SideChoice.Both, null).Diagnostics, d => d.Code == "PKG001");

    private static string Sample(string name) => Path.Combine(RealBoards.CheckoutRoot, "samples", name);

    private PrepareResult Prepare(string[] names, SideChoice side = SideChoice.Both) => Run([.. names.Select(Sample)], side, null);

    private PrepareResult Run(string[] paths, SideChoice side, OnlyChoice? only) => PrepareUseCase.Run(
        new JobRequest
        {
            Paths = [paths[0]],
            Beside = [.. paths.Skip(1).Select(p => BoardBeside.At(p, []))],
            Settings = _large,
            Side = side,
            Only = only,
            OutDirectory = Path.Combine(_folder, "out"),
            Version = "test",
            FailOn = null,
        },
        () => Stream.Null, new Progress<string>());
}
