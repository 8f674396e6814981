using System.Globalization;
using System.Text;
using System.Xml.Linq;
using CsCheck;
using SkiaSharp;
using Stencilwright.Cutting;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Testing;

namespace Stencilwright.Output.Tests;

/// <summary>What was asked to be cut is what a reader of each format finds.</summary>
public sealed class SheetFilesTests
{
    private static readonly XNamespace _svg = "http://www.w3.org/2000/svg";

    [Fact]
    public void Drawings_hold_each_cut_once_and_say_how_often_it_is_run()
    {
        var film = SampleJob.Make().Sides[0].Plan.Film;
        var thrice = film with { Paths = [.. film.Paths.SelectMany(p => p.Kind == CutKind.Score ? (CutPath[])[p] : [p, p with { IsRepeat = true }, p with { IsRepeat = true }])] };
        var svg = Encoding.UTF8.GetString(SvgSheetWriter.Write(thrice, "t"));
        Assert.Single(svg.Split(" data-passes=\"3\"").Skip(1));
        Assert.Equal(Encoding.UTF8.GetString(SvgSheetWriter.Write(film, "t")), svg.Replace(" data-passes=\"3\"", "", StringComparison.Ordinal));
        Assert.Equal(DxfWriter.Write(film, "t"), DxfWriter.Write(thrice, "t"));
        var run = GcodeMachine.Run(GcodeWriter.Write(thrice, "t", JobSettings.Default));
        Assert.Equal(thrice.Paths.Length, run.Cuts.Count);
    }

    [Fact]
    public void Svg_paths_have_the_area_and_length_that_were_asked()
    {
        var film = SampleJob.Make().Sides[0].Plan.Film;
        var root = Parse(SvgSheetWriter.Write(film, "t"));
        var written = Group(root, "apertures").Select(Data).ToList();
        var asked = film.Paths.Where(p => p.Kind is CutKind.Opening or CutKind.OpeningLine).ToList();
        Assert.Equal(asked.Count, written.Count);
        foreach (var (path, data) in asked.Zip(written))
        {
            using var read = SKPath.ParseSvgPathData(data);
            Assert.NotNull(read);
            var (area, length) = Measured(read);
            Assert.Equal(path.LengthMm, length, 5e-4 * path.LengthMm);
            if (path.IsClosed)
            {
                // y points down in the file, so the sign turns round.
                Assert.Equal(Measure.SignedArea(path.Vertices.AsSpan()), -area, 2e-3 * Math.Abs(area));
            }
        }
    }

    [Fact]
    public void Svg_uses_absolute_move_line_arc_and_close_alone()
    {
        var job = SampleJob.Make();
        foreach (var file in JobFiles.Write(job, TestContext.Current.CancellationToken).Where(f => f.Path.EndsWith(".svg", StringComparison.Ordinal)))
        {
            var root = Parse(file.Bytes);
            foreach (var data in root.Descendants(_svg + "path").Select(Data))
            {
                Assert.StartsWith("M ", data, StringComparison.Ordinal);
                foreach (var word in data.Split(' '))
                {
                    Assert.True(word is "M" or "L" or "A" or "Z" || IsPlainNumber(word), word);
                }
            }
        }
    }

    [Fact]
    public void Svg_is_in_millimetres_with_the_groups_of_the_contract()
    {
        var side = SampleJob.Make().Sides[0];
        var film = Parse(SvgSheetWriter.Write(side.Plan.Film, "t"));
        Assert.Equal("101.6mm", film.Attribute("width")!.Value);
        Assert.Equal("0 0 101.6 101.6", film.Attribute("viewBox")!.Value);
        Assert.Equal(["marks", "apertures", "blank"], film.Elements(_svg + "g").Select(g => g.Attribute("id")!.Value));
        var frame = Parse(SvgSheetWriter.Write(side.Plan.Frame!, "t"));
        Assert.Equal("0 0 152.4 101.6", frame.Attribute("viewBox")!.Value);
        Assert.Equal(["marks", "pocket", "edge", "blank"], frame.Elements(_svg + "g").Select(g => g.Attribute("id")!.Value));
    }

    [Fact]
    public void Svg_ids_are_those_of_the_openings_and_unique()
    {
        var side = SampleJob.Make().Sides[0];
        var ids = Parse(SvgSheetWriter.Write(side.Plan.Film, "t")).Descendants().Select(e => e.Attribute("id")?.Value).OfType<string>().ToList();
        Assert.Equal(ids.Count, ids.Distinct().Count());
        Assert.Empty(side.Design.Openings.Select(o => o.Id).Except(ids));
        Assert.Contains("a0002-2", ids);
    }

    [Fact]
    public void Svg_arc_lies_on_the_side_that_was_asked()
    {
        // A D lying on its flat side: its belly is up on the sheet, so near the top (small y) of the file.
        var plan = Sheet(SampleJob.Cut(CutKind.Opening, "d", new Contour([new(12, 10, 1), new(8, 10)])));
        using var read = SKPath.ParseSvgPathData(Data(Group(Parse(SvgSheetWriter.Write(plan, "")), "apertures").Single()));
        Assert.Equal(100 - 12, read.TightBounds.Top, 1e-3);
        Assert.Equal(100 - 10, read.TightBounds.Bottom, 1e-3);
    }

    [Fact]
    public void Dxf_polylines_are_the_paths_with_their_bulges()
    {
        foreach (var side in SampleJob.Make().Sides)
        {
            foreach (var plan in new[] { side.Plan.Film, side.Plan.Frame! })
            {
                var read = DxfReader.Read(DxfWriter.Write(plan, "Größe (1)"));
                Assert.Equal(plan.Paths.Length + 1, read.Count);
                Assert.Equal("BLANK", read[^1].Layer);
                foreach (var (path, back) in plan.Paths.Zip(read))
                {
                    Assert.Equal(Layer(path.Kind), back.Layer);
                    Assert.Equal(path.IsClosed, back.IsClosed);
                    Assert.Equal(path.Vertices.Length, back.Vertices.Count);
                    foreach (var (v, b) in path.Vertices.Zip(back.Vertices))
                    {
                        Assert.Equal(v.X, b.X, 1e-6);
                        Assert.Equal(v.Y, b.Y, 1e-6);
                        Assert.Equal(v.Bulge, b.Bulge, 1e-9);
                    }
                }
            }
        }
    }

    [Fact]
    public void Dxf_bulge_of_a_quarter_circle_is_the_references()
    {
        // DXF reference, VERTEX group 42: tangent of a quarter of the included angle; for 90 degrees 0.41421356.
        var plan = Sheet(SampleJob.Cut(CutKind.Opening, "r", SampleJob.RoundedRectangle(new(10, 10, 20, 20), 2)));
        var text = Encoding.ASCII.GetString(DxfWriter.Write(plan, ""));
        Assert.Contains("\n 42\n0.41421356", text, StringComparison.Ordinal);
        Assert.Contains("\nAC1009\n", text, StringComparison.Ordinal);
    }

    [Fact]
    public void Gcode_moves_the_beam_along_the_paths_within_two_micrometres()
    {
        var job = SampleJob.Make();
        foreach (var plan in new[] { job.Sides[0].Plan.Film, job.Sides[0].Plan.Frame!, job.Sides[1].Plan.Film })
        {
            var read = GcodeReader.Read(GcodeWriter.Write(plan, job.Title, job.Settings));
            Assert.Equal(plan.Paths.Length, read.Count);
            foreach (var (path, back) in plan.Paths.Zip(read))
            {
                Assert.Equal(path.SegmentCount + 1, back.Vertices.Count);
                for (var i = 0; i < path.SegmentCount; i++)
                {
                    var (asked, got) = (path.SegmentAt(i), new Segment(back.Vertices[i].Point, back.Vertices[i + 1].Point, back.Vertices[i].Bulge));
                    foreach (var t in new[] { 0, 0.25, 0.5, 0.75, 1 })
                    {
                        Assert.True(Point2.Distance(asked.PointAt(t), got.PointAt(t)) < 0.002);
                    }
                }

                var isScore = path.Kind == CutKind.Score;
                Assert.Equal((isScore ? plan.ScorePowerPercent : plan.CutPowerPercent) * 10, back.Power, 1e-9);
                Assert.Equal((isScore ? plan.ScoreSpeedMmS : plan.CutSpeedMmS) * 60, back.FeedMmMin, 1e-9);
            }
        }
    }

    [Fact]
    public void Gcode_and_dxf_keep_any_arc() =>
        Gen.Select(Gen.Double[1, 99], Gen.Double[1, 99], Gen.Double[1, 99], Gen.Double[1, 99], Gen.Double[-1, 1]).Check(
            (x1, y1, x2, y2, bulge) =>
            {
                if (Math.Abs(x1 - x2) + Math.Abs(y1 - y2) < 0.05)
                {
                    return;
                }

                var plan = Sheet(new CutPath { Kind = CutKind.Opening, Owner = "a", Vertices = [new(x1, y1, bulge), new(x2, y2)], IsClosed = false });
                var asked = plan.Paths[0].SegmentAt(0);
                var gcode = GcodeReader.Read(GcodeWriter.Write(plan, "", JobSettings.Default))[0].Vertices;
                var dxf = DxfReader.Read(DxfWriter.Write(plan, ""))[0].Vertices;
                foreach (var v in new[] { gcode, dxf })
                {
                    var got = new Segment(v[0].Point, v[1].Point, v[0].Bulge);
                    Assert.True(Point2.Distance(asked.Middle, got.Middle) < 0.002);
                    Assert.Equal(asked.Length, got.Length, 0.002);
                }
            },
            iter: 2000);

    [Fact]
    public void Gcode_without_arcs_stays_within_a_micrometre_of_them()
    {
        var film = SampleJob.Make().Sides[0].Plan.Film;
        var bytes = GcodeWriter.Write(film, "", JobSettings.Default with { GcodeArcs = false });
        Assert.DoesNotContain("G2 ", Encoding.ASCII.GetString(bytes), StringComparison.Ordinal);
        Assert.DoesNotContain("G3 ", Encoding.ASCII.GetString(bytes), StringComparison.Ordinal);
        var read = GcodeReader.Read(bytes);
        Assert.Contains(film.Paths, p => p.Vertices.Any(v => v.Bulge != 0));
        foreach (var (path, back) in film.Paths.Zip(read))
        {
            Assert.True(Point2.Distance(path.End, back.Vertices[^1].Point) < 1e-4);
            for (var i = 0; i + 1 < back.Vertices.Count; i++)
            {
                var middle = Point2.Lerp(back.Vertices[i].Point, back.Vertices[i + 1].Point, 0.5);
                var off = Enumerable.Range(0, path.SegmentCount).Min(k => RegionDistance.ToSegment(path.SegmentAt(k), middle).DistanceMm);
                Assert.True(off < 0.0011, $"{off}");
            }
        }
    }

    [Fact]
    public void Svg_takes_the_pens_that_a_driver_wants()
    {
        var settings = JobSettings.Default with { SvgCutPen = "#112233", SvgScorePen = "#445566", SvgLineMm = 0.01 };
        var svg = Encoding.UTF8.GetString(SvgSheetWriter.Write(SampleJob.Make().Sides[0].Plan.Film, "", SvgPens.Of(settings)));
        Assert.Contains("<g id=\"apertures\" stroke=\"#112233\">", svg, StringComparison.Ordinal);
        Assert.Contains("<g id=\"marks\" stroke=\"#445566\">", svg, StringComparison.Ordinal);
        Assert.Contains("stroke-width=\"0.01\"", svg, StringComparison.Ordinal);
    }

    [Fact]
    public void Gcode_comments_of_a_plain_title_lose_no_character() =>
        Assert.DoesNotContain('?', Encoding.ASCII.GetString(GcodeWriter.Write(SampleJob.Make().Sides[0].Plan.Film, "Plain", JobSettings.Default)));

    [Fact]
    public void Gcode_takes_the_machines_own_beam_words()
    {
        var settings = JobSettings.Default with { GcodeBeamOn = "M4", GcodeBeamOff = "M107", GcodeFullPower = 255 };
        var film = SampleJob.Make().Sides[0].Plan.Film;
        var read = GcodeReader.Read(GcodeWriter.Write(film, "", settings), "M4", "M107");
        Assert.Equal(film.Paths.Length, read.Count);
        Assert.Equal(9.2 * 2.55, read[^1].Power, 1e-3);
    }

    [Theory]
    [InlineData("\"quotes\" <script>alert(1)</script> & 'more'")]
    [InlineData("line\nbreak (bracket) % ; \0 \u0007")]
    [InlineData("emoji 🙂 العربية \uD800 alone")]
    [InlineData("")]
    public void Hostile_titles_do_not_leave_their_place(string title)
    {
        var job = SampleJob.Make(title);
        var film = job.Sides[0].Plan.Film;
        var root = Parse(SvgSheetWriter.Write(film, title));
        Assert.DoesNotContain(root.Descendants(), e => e.Name.LocalName == "script");
        Assert.Equal(film.Paths.Length + 1, DxfReader.Read(DxfWriter.Write(film, title)).Count);
        Assert.Equal(film.Paths.Length, GcodeReader.Read(GcodeWriter.Write(film, title, job.Settings)).Count);
        Assert.All(JobFiles.Write(job, TestContext.Current.CancellationToken), f => Assert.NotEmpty(f.Bytes));
    }

    [Theory]
    [InlineData(-0.0000001, "0")]
    [InlineData(1e-6, "0.000001")]
    [InlineData(-12.5, "-12.5")]
    [InlineData(123456.7890004, "123456.789")]
    [InlineData(0.9999996, "1")]
    public void Numbers_are_plain_and_short(double value, string expected) => Assert.Equal(expected, PlainText.Of(value, 6));

    private static SheetPlan Sheet(CutPath path) => SampleJob.Make(withBottom: false).Sides[0].Plan.Film with
    {
        Blank = new(100, 100), Paths = [path],
    };

    private static string Layer(CutKind kind) => kind switch
    {
        CutKind.Score => "SCORE", CutKind.Pocket => "POCKET", CutKind.Edge => "EDGE", _ => "OPENINGS",
    };

    private static XElement Parse(byte[] svg) => XDocument.Load(new MemoryStream(svg)).Root!;

    private static IEnumerable<XElement> Group(XElement root, string id) =>
        root.Elements(_svg + "g").Single(g => g.Attribute("id")!.Value == id).Elements(_svg + "path");

    private static string Data(XElement path) => path.Attribute("d")!.Value;

    private static bool IsPlainNumber(string word) =>
        word.All(c => char.IsAsciiDigit(c) || c is '.' or '-') && word != "-0"
        && double.TryParse(word, NumberStyles.AllowDecimalPoint | NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out _);

    // Area by the shoelace over close points, and length, as the drawing library understands the path.
    private static (double AreaMm2, double LengthMm) Measured(SKPath path)
    {
        // Enlarged to micrometres: the library's own flattening is then too fine to matter.
        path.Transform(SKMatrix.CreateScale(1000, 1000));
        using var measure = new SKPathMeasure(path, false, 4);
        const int Steps = 4000;
        double area = 0;
        var length = measure.Length;
        var before = measure.GetPosition(0);
        for (var i = 1; i <= Steps; i++)
        {
            var p = measure.GetPosition(length * i / Steps);
            area += ((before.X * (double)p.Y) - (p.X * (double)before.Y)) / 2;
            before = p;
        }

        return (area / 1e6, length / 1000.0);
    }
}
