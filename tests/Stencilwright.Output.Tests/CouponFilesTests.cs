using System.Globalization;
using System.Text;
using System.Text.Json;
using System.Xml.Linq;
using Stencilwright.Cutting;
using Stencilwright.Cutting.Coupons;
using Stencilwright.Foundation;
using Stencilwright.Output.Coupons;

namespace Stencilwright.Output.Tests;

public sealed class CouponFilesTests
{
    private static readonly Coupon _coupon = CouponDesigner.Design(JobSettings.Default).Value!;
    private static readonly Coupon _matrix = CouponDesigner.DesignMatrix(JobSettings.Default).Value!;

    private static Dictionary<string, byte[]> Files(Coupon coupon) =>
        CouponFiles.Write(coupon, JobSettings.Default).ToDictionary(f => f.Path, f => f.Bytes, StringComparer.Ordinal);

    [Fact]
    public void The_list_of_features_has_the_names_that_programs_rely_on()
    {
        using var json = JsonDocument.Parse(Files(_coupon)["coupon.json"]);
        Assert.Equal(1, json.RootElement.GetProperty("formatVersion").GetInt32());
        var features = json.RootElement.GetProperty("features").EnumerateArray().ToList();
        Assert.Equal(_coupon.Features.Length, features.Count);
        foreach (var (read, drawn) in features.Zip(_coupon.Features))
        {
            Assert.Equal(drawn.Id, read.GetProperty("id").GetString());
            Assert.Equal(drawn.Kind, read.GetProperty("kind").GetString());
            Assert.Equal(drawn.Center.X, read.GetProperty("xMm").GetDouble(), 6);
            Assert.Equal(drawn.Center.Y, read.GetProperty("yMm").GetDouble(), 6);
            Assert.Equal(drawn.WidthMm, read.GetProperty("widthMm").GetDouble(), 6);
            Assert.Equal(drawn.HeightMm, read.GetProperty("heightMm").GetDouble(), 6);
        }
    }

    [Fact]
    public void Every_feature_is_a_path_of_its_name_in_the_drawing_as_large_as_told()
    {
        XNamespace svg = "http://www.w3.org/2000/svg";
        var root = XDocument.Parse(Encoding.UTF8.GetString(Files(_coupon)["coupon.svg"])).Root!;
        var paths = root.Descendants(svg + "path").Where(p => p.Attribute("id") is not null)
            .ToDictionary(p => p.Attribute("id")!.Value, p => p.Attribute("d")!.Value, StringComparer.Ordinal);
        Assert.Equal("101.6mm", root.Attribute("width")!.Value);
        foreach (var feature in _coupon.Features.Where(f => f.Kind is FeatureKinds.Square or FeatureKinds.SlotX or FeatureKinds.LadderY))
        {
            // Corners of a rectangle, read by hand: M x y L x y L x y L x y Z.
            var numbers = paths[feature.Id].Split(' ').Where(w => w.Length > 0 && !char.IsLetter(w[0]))
                .Select(w => double.Parse(w, CultureInfo.InvariantCulture)).ToArray();
            var (x, y) = (numbers.Where((_, i) => i % 2 == 0).ToArray(), numbers.Where((_, i) => i % 2 == 1).ToArray());
            Assert.Equal(feature.WidthMm, x.Max() - x.Min(), 5);
            Assert.Equal(feature.HeightMm, y.Max() - y.Min(), 5);
            Assert.Equal(feature.Center.Y, 101.6 - ((y.Max() + y.Min()) / 2), 5);
        }

        Assert.All(_coupon.Features, f => Assert.Contains(f.Id, paths.Keys));
    }

    [Fact]
    public void Drawing_exchange_and_machine_code_hold_the_same_paths()
    {
        var files = Files(_coupon);
        var dxf = DxfReader.Read(files["coupon.dxf"]).Where(p => p.Layer == "OPENINGS").ToList();
        var gcode = GcodeReader.Read(files["coupon.nc"]);
        var cuts = _coupon.Sheet.Paths.Where(p => p.Kind == CutKind.Opening).ToList();
        Assert.Equal(cuts.Count, dxf.Count);
        Assert.Equal(_coupon.Sheet.Paths.Length, gcode.Count);
        foreach (var (read, cut) in dxf.Zip(cuts))
        {
            Assert.Equal(cut.Vertices.Length, read.Vertices.Count);
            Assert.All(read.Vertices.Zip(cut.Vertices), v => Assert.True(Math.Abs(v.First.X - v.Second.X) + Math.Abs(v.First.Y - v.Second.Y) < 2e-6));
        }
    }

    [Fact]
    public void Each_square_of_a_matrix_is_cut_with_its_own_power_and_speed()
    {
        var files = Files(_matrix);
        var read = GcodeReader.Read(files["coupon.nc"]).Skip(_matrix.Sheet.Paths.Count(p => p.Kind == CutKind.Score)).ToList();
        var cuts = _matrix.Sheet.Paths.Where(p => p.Kind == CutKind.Opening).ToList();
        Assert.Equal(49, read.Count);
        foreach (var (path, cut) in read.Zip(cuts))
        {
            Assert.Equal(cut.PowerPercent!.Value * 10, path.Power, 6);
            Assert.Equal(cut.SpeedMmS!.Value * 60, path.FeedMmMin, 6);
        }

        XNamespace svg = "http://www.w3.org/2000/svg";
        var groups = XDocument.Parse(Encoding.UTF8.GetString(files["coupon.svg"])).Descendants(svg + "g").Where(g => g.Attribute("data-power-percent") is not null).ToList();
        Assert.Equal(49, groups.Select(g => g.Attribute("stroke")!.Value).Distinct(StringComparer.Ordinal).Count());
        foreach (var group in groups)
        {
            var cell = _matrix.Features.Single(f => f.Id == group.Element(svg + "path")!.Attribute("id")!.Value);
            Assert.Equal(cell.PowerPercent!.Value, double.Parse(group.Attribute("data-power-percent")!.Value, CultureInfo.InvariantCulture), 6);
            Assert.Equal(cell.SpeedMmS!.Value, double.Parse(group.Attribute("data-speed-mm-s")!.Value, CultureInfo.InvariantCulture), 6);
        }

        Assert.False(files.ContainsKey("measured.csv"));
    }

    [Fact]
    public void The_table_to_fill_in_has_a_line_for_each_feature()
    {
        var lines = Encoding.UTF8.GetString(Files(_coupon)["measured.csv"]).Split('\n');
        Assert.Equal("id,widthMm,heightMm", lines[0]);
        Assert.Equal([.. _coupon.Features.Select(f => f.Id + ",,"), ""], lines.Skip(1));
    }

    [Fact]
    public void The_same_coupon_gives_the_same_bytes()
    {
        var again = Files(CouponDesigner.Design(JobSettings.Default, TestContext.Current.CancellationToken).Value!);
        Assert.All(Files(_coupon), f => Assert.Equal(f.Value, again[f.Key]));
    }

    [Fact]
    public void What_was_not_measured_is_null_for_programs_and_no_setting_of_the_recipe()
    {
        var known = new Estimate(0.15, 0.001, 0.148, 0.152, 9);
        var assumed = new Estimate(1, null, null, null, 0);
        var calibration = new Calibration
        {
            KerfXMm = known,
            KerfYMm = known with { Value = 0.141 },
            ScaleX = assumed,
            ScaleY = known with { Value = 1.0023 },
            SkewMrad = assumed with { Value = 0 },
            FeaturesUsed = 9,
            Rejected = [new("S1", "a \"burr\"")],
            ResidualRmsMm = 0.01,
        };
        using var json = JsonDocument.Parse(CalibrationFiles.Json(calibration));
        var root = json.RootElement;
        Assert.Equal(
            ["kerfXMm", "kerfYMm", "scaleX", "scaleY", "skewMrad", "narrowestOpenWebMm", "standardErrors", "featuresUsed", "featuresRejected", "residualRmsMm"],
            root.EnumerateObject().Select(p => p.Name));
        Assert.Equal(1, root.GetProperty("scaleX").GetDouble());
        Assert.Equal(JsonValueKind.Null, root.GetProperty("standardErrors").GetProperty("scaleX").ValueKind);
        Assert.Equal(JsonValueKind.Null, root.GetProperty("narrowestOpenWebMm").ValueKind);
        Assert.Equal("a \"burr\"", root.GetProperty("featuresRejected")[0].GetProperty("why").GetString());
        var settings = Encoding.UTF8.GetString(CalibrationFiles.Recipe(calibration, "a\nkerf_x_mm = 1.csv")).Split('\n').Where(l => l.Length > 0 && l[0] != '#');
        Assert.Equal(["kerf_x_mm = 0.1500", "kerf_y_mm = 0.1410", "scale_y = 1.002300"], settings);
    }
}
