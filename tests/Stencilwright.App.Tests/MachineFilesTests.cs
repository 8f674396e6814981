using System.Text.Json;
using Stencilwright.App.Cli;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.App.Tests;

/// <summary>The files of a machine through the door of the command line, on a sample and on real boards.</summary>
public sealed class MachineFilesTests : IDisposable
{
    private const double ToleranceMm = 0.002;

    private readonly string _folder = Directory.CreateTempSubdirectory("stencilwright-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [InlineData("mixed-pads")]
    [InlineData("outline-on-artwork")]
    [InlineData("old-codes")]
    public void A_real_board_is_the_same_on_another_machine(string board)
    {
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        var source = Path.Combine(RealBoards.Folder, board);
        var plain = Film(source, "plain", "film_blank_mm=200x200");
        var other = Film(
            source, "other", "film_blank_mm=200x200", "machine_origin=upper_right", "machine_x=left", "machine_y=towards", "gcode_units=inch", "gcode_arcs=false",
            "gcode_decimals=4", "sheet_at_mm=5,7");
        Same(plain, other, p => new(5 + 200 - p.X, 7 + 200 - p.Y));
    }

    [Theory]
    [InlineData("mixed-pads")]
    [InlineData("outline-on-artwork")]
    public void A_real_board_on_a_sheet_that_lies_askew_keeps_the_machines_scale_and_skew(string board)
    {
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        var source = Path.Combine(RealBoards.Folder, board);
        string[] wrong = ["film_blank_mm=200x200", "scale_x=1.004", "scale_y=0.997", "skew_mrad=4"];
        var square = Film(source, "square", wrong);
        var turned = Film(source, "turned", [.. wrong, "machine_y=towards", "placed_from_mm=10,10 190,10", "placed_at_mm=30,-40 207,-52"]);

        // Told (x, y), y towards the operator, such a machine cuts here; and so the two points lay there.
        var lean = Math.Tan(0.004);
        Point2 Cuts(Point2 p) => new((1.004 * p.X) + (0.997 * lean * p.Y), 0.997 * p.Y);
        Point2 Told(Point2 p) => new((p.X - (lean * p.Y)) / 1.004, -p.Y / 0.997);
        var (a, b) = (Cuts(new(30, 40)), Cuts(new(207, 52)));
        var turn = Math.Atan2(b.Y - a.Y, b.X - a.X);
        var (middle, there) = (new Point2(100, 10), Point2.Lerp(a, b, 0.5));
        Same(square, turned, drawn =>
        {
            var v = Cuts(drawn) - middle;
            return Told(new(there.X + (Math.Cos(turn) * v.X) - (Math.Sin(turn) * v.Y), there.Y + (Math.Sin(turn) * v.X) + (Math.Cos(turn) * v.Y)));
        });
    }

    // An elliptical kerf leaves corners of a few micrometres, which a machine rounds as arcs but stops at as lines.
    [Theory]
    [InlineData("kerf_y_mm=0.13")]
    [InlineData("kerf_y_mm=0.13", "gcode_arcs=false", "gcode_units=inch")]
    [InlineData("kerf_y_mm=0.13", "film_passes=2", "score_passes=3", "start_overlap_mm=0.3", "lead_in_mm=0.1", "skew_mrad=3", "cut_balance=area")]
    public void The_predicted_time_is_what_a_machine_takes(params string[] sets)
    {
        var sample = Path.Combine(RealBoards.CheckoutRoot, "samples", "blinky");
        var seconds = Film(sample, "timed", sets).TimeS(200, 1000, 0);
        using var report = JsonDocument.Parse(File.ReadAllBytes(Path.Combine(_folder, "timed", "report.json")));
        Assert.Equal(seconds, report.RootElement.GetProperty("sides")[0].GetProperty("cutTimeS").GetDouble(), 0.01 * seconds);
    }

    [Fact]
    public void A_folder_that_holds_a_job_already_is_read_as_if_it_did_not()
    {
        var folder = Path.Combine(_folder, "F_Paste");
        Directory.CreateDirectory(folder);
        foreach (var file in Directory.GetFiles(Path.Combine(RealBoards.CheckoutRoot, "samples", "blinky")))
        {
            File.Copy(file, Path.Combine(folder, Path.GetFileName(file)));
        }

        var first = Run(folder, folder);
        Assert.Equal(first, Run(folder, Path.Combine(_folder, "again")));
        Assert.Equal(0, first.Code);
        Assert.Equal(File.ReadAllBytes(Path.Combine(folder, "top", "film.nc")), File.ReadAllBytes(Path.Combine(_folder, "again", "top", "film.nc")));
    }

    [Fact]
    public void A_sheet_outside_the_work_area_is_an_error_with_its_figure_and_gets_no_code()
    {
        var sample = Path.Combine(RealBoards.CheckoutRoot, "samples", "blinky");
        var to = Path.Combine(_folder, "far");
        Assert.Equal(0, Run(sample, to).Code);
        var (code, error) = Run(sample, to, "work_area_mm=100x110", "sheet_at_mm=10,0", "files_per_operation=true");
        Assert.Equal(1, code);
        Assert.Contains("SET020: Cuts of the film lie outside the machine's work area, by 9.8 mm beyond its greatest x (100)", error, StringComparison.Ordinal);
        Assert.True(File.Exists(Path.Combine(to, "top", "film-cut.svg")));
        Assert.False(File.Exists(Path.Combine(to, "top", "film-cut.nc")));

        // What the run before left is told, or somebody might cut it.
        Assert.Contains("PKG091", error, StringComparison.Ordinal);
        Assert.Contains("film-outline.nc", error, StringComparison.Ordinal);
        using var report = JsonDocument.Parse(File.ReadAllBytes(Path.Combine(to, "report.json")));
        Assert.Equal("10,0", report.RootElement.GetProperty("settings").GetProperty("sheet_at_mm").GetString());
        Assert.Contains(report.RootElement.GetProperty("sides")[0].GetProperty("findings").EnumerateArray(), f => f.GetProperty("code").GetString() == "SET020");
    }

    [Fact]
    public void A_coupon_is_held_against_the_work_area_and_lies_square()
    {
        using var output = new StringWriter();
        using var error = new StringWriter();
        int Coupon(params string[] sets) => new CommandLineDoor(new Terminal { Out = output, Error = error }, UseCases.Real)
            .Run(["coupon", "--out", Path.Combine(_folder, "coupon"), .. sets.SelectMany(s => (string[])["--set", s])]);
        Assert.Equal(3, Coupon("work_area_mm=50x50"));
        Assert.Contains("SET020", error.ToString(), StringComparison.Ordinal);
        Assert.Equal(0, Coupon("machine_y=towards", "machine_origin=upper_left", "placed_from_mm=0,0 50,0", "placed_at_mm=0,0 0,50", "scale_x=1.01"));
        var there = GcodeMachine.Run(File.ReadAllBytes(Path.Combine(_folder, "coupon", "coupon.nc")));
        Assert.Equal(0, Coupon());
        var here = GcodeMachine.Run(File.ReadAllBytes(Path.Combine(_folder, "coupon", "coupon.nc")));
        Same(here, there, p => new(p.X, 101.6 - p.Y));
    }

    private GcodeMachine Film(string source, string name, params string[] sets)
    {
        var to = Path.Combine(_folder, name);
        var (code, error) = Run(source, to, [.. sets, "order_effort=quick", "placed_tolerance_mm=10"]);
        Assert.True(code == 0, error);
        return GcodeMachine.Run(File.ReadAllBytes(Path.Combine(to, "top", "film.nc")));
    }

    private static (int Code, string Error) Run(string source, string to, params string[] sets)
    {
        using var output = new StringWriter();
        using var error = new StringWriter();
        var code = new CommandLineDoor(new Terminal { Out = output, Error = error }, UseCases.Real)
            .Run(["prepare", source, "--out", to, "--side", "top", .. sets.SelectMany(s => (string[])["--set", s])]);
        return (code, error.ToString());
    }

    private static void Same(GcodeMachine one, GcodeMachine other, Func<Point2, Point2> map)
    {
        Assert.NotEmpty(one.Cuts);
        Assert.Equal(one.Cuts.Count, other.Cuts.Count);
        foreach (var (cut, there) in one.Cuts.Zip(other.Cuts))
        {
            Assert.True(Point2.Distance(map(cut[0].From), there[0].From) < ToleranceMm);
            Assert.True(Point2.Distance(map(cut[^1].To), there[^1].To) < ToleranceMm);
            foreach (var p in cut.SelectMany(m => ((double[])[0.25, 0.5, 1]).Select(t => map(m.PointAt(t)))))
            {
                var off = there.Min(m => m.DistanceTo(p));
                Assert.True(off < ToleranceMm, $"{off} mm off at {p}");
            }
        }
    }
}
