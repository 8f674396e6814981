using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using CsCheck;
using NetTopologySuite.Geometries;
using NetTopologySuite.Geometries.Utilities;
using Stencilwright.Cutting;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Output.Machine;
using Stencilwright.Testing;

namespace Stencilwright.Output.Tests;

/// <summary>What a machine of any make does with the files is what was to be cut, where it was to be cut.</summary>
public sealed class MachineTests
{
    // The figure that the beam's path has to be kept within.
    private const double ToleranceMm = 0.002;

    private static readonly string[] _origins = ["lower_left", "lower_right", "upper_left", "upper_right", "center"];

    private static readonly SheetPlan _film = SampleJob.Make(withBottom: false).Sides[0].Plan.Film;

    public static TheoryData<string, string, string, string, bool> Machines()
    {
        var data = new TheoryData<string, string, string, string, bool>();
        foreach (var origin in _origins)
        {
            foreach (var (x, y) in ((string, string)[])[("right", "away"), ("left", "away"), ("right", "towards"), ("left", "towards")])
            {
                foreach (var units in (string[])["mm", "inch"])
                {
                    data.Add(origin, x, y, units, true);
                    data.Add(origin, x, y, units, false);
                }
            }
        }

        return data;
    }

    [Theory]
    [MemberData(nameof(Machines))]
    public void Every_machine_cuts_the_same_sheet(string origin, string x, string y, string units, bool arcs)
    {
        var settings = JobSettings.Default with { MachineOrigin = origin, MachineX = x, MachineY = y, GcodeUnits = units, GcodeArcs = arcs, SheetAtMm = "12.3, -4.56" };
        var run = GcodeMachine.Run(GcodeWriter.Write(_film, "t", settings));
        Follows(_film.Paths, run, p => OnMachine(p, _film.Blank, settings));
        foreach (var (path, cut) in _film.Paths.Zip(run.Cuts))
        {
            var isScore = path.Kind == CutKind.Score;
            Assert.All(cut, m => Assert.Equal(isScore ? _film.ScoreSpeedMmS : _film.CutSpeedMmS, m.FeedMmS!.Value, 1e-5));
            Assert.All(cut, m => Assert.Equal((isScore ? _film.ScorePowerPercent : _film.CutPowerPercent) * 10, m.Power, 1e-9));
        }
    }

    [Fact]
    public void Any_path_is_cut_by_any_machine() =>
        Gen.Select(
            GenPath, Gen.Int[0, 4], Gen.Int[0, 15], Gen.Int[3, 6], Gen.Select(Gen.Double[-300, 300], Gen.Double[-300, 300]), Gen.Double[0.0001, 0.001]).Check(
            (path, origin, bits, decimals, at, chord) =>
            {
                var settings = JobSettings.Default with
                {
                    MachineOrigin = _origins[origin],
                    MachineX = (bits & 1) == 0 ? "right" : "left",
                    MachineY = (bits & 2) == 0 ? "away" : "towards",
                    GcodeUnits = (bits & 4) == 0 ? "mm" : "inch",
                    GcodeArcs = (bits & 8) == 0,
                    GcodeDecimals = decimals,
                    GcodeChordErrorMm = chord,
                    SheetAtMm = string.Create(CultureInfo.InvariantCulture, $"{at.Item1:0.####} {at.Item2:0.####}"),
                };
                var plan = _film with { Paths = [path] };
                Follows(plan.Paths, GcodeMachine.Run(GcodeWriter.Write(plan, "", settings)), p => OnMachine(p, plan.Blank, settings));
            },
            iter: 1500);

    [Theory]
    [InlineData("stop", true, "mm", "lower_left")]
    [InlineData("stop", true, "inch", "upper_right")]
    [InlineData("round", true, "mm", "center")]
    [InlineData("round", false, "mm", "lower_left")]
    [InlineData("round", false, "inch", "lower_right")]
    public void Cutting_takes_the_time_that_was_predicted(string corners, bool arcs, string units, string origin)
    {
        var settings = JobSettings.Default with { CornerSlowing = corners, GcodeArcs = arcs, GcodeUnits = units, MachineOrigin = origin, MachineY = "towards", OrderEffort = "quick" };
        var plan = CutPlanner.Plan(SampleJob.Make(withBottom: false).Sides[0].Design, settings, TestContext.Current.CancellationToken);
        foreach (var sheet in new[] { plan.Film, plan.Frame! })
        {
            var first = Point2.Distance(new(0, 0), sheet.Paths[0].Start);
            var travel = (first / settings.TravelSpeedMmS) + (settings.TravelSpeedMmS / settings.AccelerationMmS2);
            travel = first < settings.TravelSpeedMmS * settings.TravelSpeedMmS / settings.AccelerationMmS2 ? 2 * Math.Sqrt(first / settings.AccelerationMmS2) : travel;
            var took = GcodeMachine.Run(GcodeWriter.Write(sheet, "", settings))
                .TimeS(settings.TravelSpeedMmS, settings.AccelerationMmS2, corners == "round" ? settings.CornerDeviationMm : 0, withFirstTravel: false);
            Assert.Equal(sheet.TimeS - travel, took, 0.01 * sheet.TimeS);
        }
    }

    [Fact]
    public void A_sheet_that_lies_askew_is_cut_where_it_lies() =>
        Gen.Select(GenPlacing, GenPath, Gen.Int[0, 7]).Check(
            (placing, path, bits) =>
            {
                var (from, to, turn, move) = placing;
                var settings = Machine(bits);
                var (sx, sy) = (settings.MachineX == "left" ? -1 : 1, settings.MachineY == "towards" ? -1 : 1);

                // A rotation about the first point and a move, written out: what the operator sees, and what the machine's axes read.
                Point2 Lies(Point2 p)
                {
                    var (dx, dy) = (p.X - from.X, p.Y - from.Y);
                    return new(move.X + (Math.Cos(turn) * dx) - (Math.Sin(turn) * dy), move.Y + (Math.Sin(turn) * dx) + (Math.Cos(turn) * dy));
                }

                Point2 Read(Point2 p) => new(sx * Lies(p).X, sy * Lies(p).Y);
                settings = settings with { PlacedFromMm = Text(from, to), PlacedAtMm = Text(Read(from), Read(to)) };
                var plan = _film with { Paths = [path] };
                Follows(plan.Paths, GcodeMachine.Run(GcodeWriter.Write(plan, "", settings)), Read);
                Assert.Equal("SET022", Assert.Single(MachineFindings.Of(plan, settings)).Code);
            },
            iter: 800);

    // NetTopologySuite 2.6, AffineTransformationBuilder: the map that takes three points to three others; the third stands square to the two.
    [Fact]
    public void Two_points_place_a_sheet_as_another_library_has_it() =>
        GenPlacing.Check(
            (from, to, turn, move) =>
            {
                var length = Point2.Distance(from, to);
                var heading = Math.Atan2(to.Y - from.Y, to.X - from.X) + turn;
                var end = new Point2(move.X + (length * Math.Cos(heading)), move.Y + (length * Math.Sin(heading)));
                var (side, there) = ((to - from).Left, (end - move).Left);
                var theirs = new AffineTransformationBuilder(Place(from), Place(to), Place(from + side), Place(move), Place(end), Place(move + there)).GetTransformation();
                var ours = MachineMap.Of("film", new(100, 100), JobSettings.Default with { PlacedFromMm = Text(from, to), PlacedAtMm = Text(move, end) });
                foreach (var p in (Point2[])[new(0, 0), new(101.6, 0), new(50, 70), new(0, 101.6)])
                {
                    var wanted = theirs.Transform(Place(p), new Coordinate());
                    Assert.True(Point2.Distance(ours.FromSheet.Apply(p), new(wanted.X, wanted.Y)) < 1e-6);
                    Assert.True(Point2.Distance(ours.FromDrawn.Apply(p), new(wanted.X, wanted.Y)) < 1e-6);
                }
            },
            iter: 500);

    private static Coordinate Place(Point2 p) => new(p.X, p.Y);

    // The machine with wrong scales and leaning axis, as it is: it is told a place, and cuts another.
    [Fact]
    public void Scale_and_skew_stay_with_the_machine_when_the_sheet_turns() =>
        Gen.Select(GenPlacing, Gen.Double[0.99, 1.01], Gen.Double[0.99, 1.01], Gen.Double[-10, 10], Gen.Int[0, 7]).Check(
            (placing, scaleX, scaleY, skew, bits) =>
            {
                var (from, to, turn, move) = placing;
                var settings = Machine(bits) with { ScaleX = scaleX, ScaleY = scaleY, SkewMrad = skew };
                var (sx, sy) = (settings.MachineX == "left" ? -1 : 1, settings.MachineY == "towards" ? -1 : 1);
                var lean = Math.Tan(skew / 1000);
                Point2 Cuts(Point2 told) => new((scaleX * sx * told.X) + (scaleY * lean * sy * told.Y), scaleY * sy * told.Y);
                Point2 Told(Point2 bed) => new(sx * (bed.X - (lean * bed.Y)) / scaleX, sy * bed.Y / scaleY);
                Point2 OnBed(Point2 p)
                {
                    var (dx, dy) = (p.X - from.X, p.Y - from.Y);
                    return new(move.X + (Math.Cos(turn) * dx) - (Math.Sin(turn) * dy), move.Y + (Math.Sin(turn) * dx) + (Math.Cos(turn) * dy));
                }

                settings = settings with { PlacedFromMm = Text(from, to), PlacedAtMm = Text(Told(OnBed(from)), Told(OnBed(to))) };
                var wanted = SampleJob.RoundedRectangle(new(20, 30, 32, 36), 2);
                var drawn = wanted.Transform(new Affine2(scaleX, scaleY * lean, 0, 0, scaleY, 0).Inverse());
                var plan = _film with { Paths = [SampleJob.Cut(CutKind.Opening, "a", drawn)] };
                var run = GcodeMachine.Run(GcodeWriter.Write(plan, "", settings));
                var asked = Enumerable.Range(0, wanted.Count).Select(wanted.SegmentAt).ToList();
                foreach (var told in run.Cuts[0].SelectMany(m => new[] { m.From, m.PointAt(0.3), m.PointAt(0.5), m.PointAt(0.8) }))
                {
                    var b = Cuts(told);
                    var (dx, dy) = (b.X - move.X, b.Y - move.Y);
                    var onSheet = new Point2(from.X + (Math.Cos(turn) * dx) + (Math.Sin(turn) * dy), from.Y - (Math.Sin(turn) * dx) + (Math.Cos(turn) * dy));
                    var off = asked.Min(s => RegionDistance.ToSegment(s, onSheet).DistanceMm);
                    Assert.True(off < ToleranceMm, $"{off}");
                }

                // All of it is cut: twelve millimetres by six with corners of two.
                Assert.Equal(36 - 16 + (4 * Math.PI), run.Cuts[0].Sum(m => m.Length), 0.5);
            },
            iter: 400);

    [Fact]
    public void The_blanks_own_corner_is_not_stretched_by_the_scale()
    {
        // A scale of 1.01 cuts 1 % too long: the drawing is shorter, and starts at the corner that lies at the machine's zero.
        var settings = JobSettings.Default with { MachineOrigin = "upper_right", ScaleX = 1.01, ScaleY = 1.02 };
        var map = MachineMap.Of("film", new(100, 80), settings);
        Assert.Equal(new Point2(0, 0), map.FromSheet.Apply(new Point2(100, 80)));
        var far = map.FromSheet.Apply(new Point2(0, 0));
        Assert.Equal(-100 / 1.01, far.X, 1e-9);
        Assert.Equal(-80 / 1.02, far.Y, 1e-9);
    }

    [Fact]
    public void Points_that_do_not_agree_are_told_with_the_figure_and_stop_the_cut()
    {
        var settings = JobSettings.Default with { PlacedFromMm = "5,5 96.6,5", PlacedAtMm = "12.1,8.3 104.2,8.3" };
        var finding = Assert.Single(MachineFindings.Of(_film, settings));
        Assert.Equal(("SET023", Severity.Error), (finding.Code, finding.Severity));
        Assert.Contains("a difference of 0.5 mm", finding.Message, StringComparison.Ordinal);
        Assert.DoesNotContain(Names(settings), f => f.StartsWith("top/film", StringComparison.Ordinal) && f.EndsWith(".nc", StringComparison.Ordinal));
        Assert.Contains("top/frame.nc", Names(settings));
        Assert.Contains("top/film.svg", Names(settings));
        Assert.Equal("SET022", Assert.Single(MachineFindings.Of(_film, settings with { PlacedToleranceMm = 0.6 })).Code);
    }

    [Theory]
    [InlineData("5,5 96.6,5", "")]
    [InlineData("", "5,5 96.6,5")]
    [InlineData("5,5 9,5", "5,5 9,5")]
    [InlineData("5,5 5,5", "0,0 50,0")]
    public void Points_that_say_nothing_stop_the_cut(string from, string at) =>
        Assert.Equal("SET024", Assert.Single(MachineFindings.Of(_film, JobSettings.Default with { PlacedFromMm = from, PlacedAtMm = at })).Code);

    [Theory]
    [InlineData("lower_left", "0,0", 101.6, 101.6, null, "")]
    [InlineData("center", "0,0", 101.6, 101.6, null, "")]
    [InlineData("upper_right", "0,0", 101.6, 101.6, null, "")]
    [InlineData("lower_left", "1,0", 101.6, 101.6, "SET021", "by 1 mm beyond its greatest x (101.6)")]
    [InlineData("lower_left", "0,0", 101.6, 50, "SET020", "beyond its greatest y (50)")]
    [InlineData("center", "0,-60", 300, 200, "SET020", "below its least y (-100)")]
    public void A_sheet_is_held_against_the_work_area(string origin, string at, double width, double height, string? code, string words)
    {
        foreach (var (x, y) in ((string, string)[])[("right", "away"), ("left", "towards")])
        {
            // The place is turned with the axes, so that the sheet lies where it lay.
            var place = x == "left" ? string.Join(',', at.Split(',').Select(v => (-double.Parse(v, CultureInfo.InvariantCulture)).ToString(CultureInfo.InvariantCulture))) : at;
            var settings = JobSettings.Default with { WorkAreaMm = new(width, height), MachineOrigin = origin, MachineX = x, MachineY = y, SheetAtMm = place };
            var findings = MachineFindings.Of(_film, settings);
            Assert.Equal(code is null ? [] : [code], findings.Select(f => f.Code));
            if (code is not null && x == "right")
            {
                Assert.Contains(words, findings[0].Message, StringComparison.Ordinal);
            }
        }
    }

    [Fact]
    public void A_dry_run_goes_round_blank_and_cuts_with_the_beam_off()
    {
        var settings = JobSettings.Default with { MachineOrigin = "upper_left", MachineY = "towards", SheetAtMm = "10,20", GcodeUnits = "inch" };
        var run = GcodeMachine.Run(GcodeWriter.WriteOutline(_film, "t", settings));
        Assert.Empty(run.Cuts);
        foreach (var corner in (Point2[])[new(10, 20), new(111.6, 20), new(111.6, 121.6), new(10, 121.6)])
        {
            Assert.Contains(run.Moves, m => Point2.Distance(m.To, corner) < 1e-4);
        }

        var cuts = Bounds2.Empty;
        foreach (var p in GcodeMachine.Run(GcodeWriter.Write(_film, "", settings)).Cuts.SelectMany(c => c).SelectMany(m => Enumerable.Range(0, 33).Select(i => m.PointAt(i / 32.0))))
        {
            cuts = cuts.Include(p);
        }

        var traced = Bounds2.Empty;
        foreach (var move in run.Moves.Skip(6).Take(4))
        {
            Assert.Equal(50, move.FeedMmS!.Value, 1e-4);
            traced = traced.Include(move.From).Include(move.To);
        }

        Assert.Equal(cuts.MinX, traced.MinX, 0.002);
        Assert.Equal(cuts.MaxX, traced.MaxX, 0.002);
        Assert.Equal(cuts.MinY, traced.MinY, 0.002);
        Assert.Equal(cuts.MaxY, traced.MaxY, 0.002);
        var pointed = GcodeMachine.Run(GcodeWriter.WriteOutline(_film, "t", settings with { PointerPowerPercent = 0.5 }));
        Assert.Equal(2, pointed.Cuts.Count);
        Assert.All(pointed.Cuts.SelectMany(c => c), m => Assert.Equal(5, m.Power));
    }

    [Fact]
    public void A_dry_run_stays_in_the_work_area()
    {
        var seen = new HashSet<string>();
        Gen.Select(Gen.Double[-Math.PI, Math.PI], Gen.Double[95, 160], Gen.Double[95, 160], Gen.Bool).Check(
            (turn, width, height, isInch) =>
            {
                // The middle of the sheet lies in the middle of the work area, turned about it.
                Point2 Lies(Point2 p)
                {
                    var v = p - new Point2(50.8, 50.8);
                    return new((Math.Cos(turn) * v.X) - (Math.Sin(turn) * v.Y), (Math.Sin(turn) * v.X) + (Math.Cos(turn) * v.Y));
                }

                var (from, to) = (new Point2(0, 0), new Point2(101.6, 20));
                var settings = JobSettings.Default with
                {
                    MachineOrigin = "center", WorkAreaMm = new(width, height), GcodeUnits = isInch ? "inch" : "mm",
                    PlacedFromMm = Text(from, to), PlacedAtMm = Text(Lies(from), Lies(to)),
                };
                var findings = MachineFindings.Of(_film, settings).Select(f => f.Code).Where(c => c != "SET022").ToList();
                var moves = GcodeMachine.Run(GcodeWriter.WriteOutline(_film, "", settings)).Moves;
                seen.Add(findings.FirstOrDefault() ?? "");
                if (!findings.Contains("SET020"))
                {
                    Assert.All(moves, m => Assert.True(Math.Abs(m.To.X) < (width / 2) + 0.002 && Math.Abs(m.To.Y) < (height / 2) + 0.002));
                    Assert.Equal(findings.Count == 0 ? 11 : 6, moves.Count);
                }
            },
            iter: 300,
            threads: 1);
        Assert.Equal(["", "SET020", "SET021"], seen.Order(StringComparer.Ordinal));
    }

    [Fact]
    public void The_users_own_lines_stand_where_they_belong()
    {
        var settings = JobSettings.Default with { GcodePreamble = "G17 (plane) | G90\nG54|M8", GcodeEnding = "M9 ; air off\nG0 X0 Y200|M30", PowerFollowsSpeed = true };
        var file = GcodeWriter.Write(_film, "t", settings);
        var text = Encoding.ASCII.GetString(file);
        Assert.Contains("\nG21\nG17 (plane)\nG90\nG54\nM8\nM5\n", text, StringComparison.Ordinal);
        Assert.EndsWith("\nM5\nM9 ; air off\nG0 X0 Y200\nM30\n", text, StringComparison.Ordinal);
        var run = GcodeMachine.Run(file, "M4");
        Assert.Equal(_film.Paths.Length, run.Cuts.Count);
        Assert.Equal(new Point2(0, 200), run.Moves[^1].To);
    }

    [Theory]
    [InlineData("", true, false)]
    [InlineData("G90 | G17", true, false)]
    [InlineData("G20", true, true)]
    [InlineData("g17 g021", true, true)]
    [InlineData("G91", true, true)]
    [InlineData("G91.1", true, false)]
    [InlineData("G90.1", true, true)]
    [InlineData("(G20 is not said)", true, false)]
    [InlineData("M30", true, true)]
    [InlineData("M30", false, false)]
    [InlineData("%", false, true)]
    [InlineData("(open", false, true)]
    [InlineData("closed)", false, true)]
    [InlineData("(one (in another))", false, true)]
    [InlineData("Grüße", false, true)]
    [InlineData("tab\there", false, true)]
    public void Lines_that_would_upset_a_controller_are_refused(string lines, bool isPreamble, bool isRefused) =>
        Assert.Equal(isRefused, ControllerLines.Fault(lines, isPreamble) is not null);

    [Theory]
    [InlineData("M3 S1000", 1)]
    [InlineData("G90 | M03", 1)]
    [InlineData("M3 S0", 0)]
    [InlineData("M30.5", 0)]
    public void A_preamble_that_switches_on_is_told(string preamble, int findings) =>
        Assert.Equal(findings, MachineFindings.Of(SampleJob.Make().Sides[0].Plan, JobSettings.Default with { GcodePreamble = preamble }).Count(f => f.Code == "SET025"));

    [Fact]
    public void Files_of_single_operations_are_the_whole_between_them()
    {
        var settings = JobSettings.Default with { FilesPerOperation = true };
        var job = SampleJob.Make() with { Settings = settings };
        var files = JobFiles.Write(job, TestContext.Current.CancellationToken).ToDictionary(f => f.Path, f => f.Bytes);
        foreach (var (sheet, parts) in ((string, string[])[])[("film", ["film-score", "film-cut"]), ("frame", ["frame-pocket", "frame-edge"])])
        {
            var whole = GcodeMachine.Run(files[$"top/{sheet}.nc"]).Cuts.SelectMany(c => c);
            var between = parts.SelectMany(p => GcodeMachine.Run(files[$"top/{p}.nc"]).Cuts).SelectMany(c => c);
            Assert.Equal(whole, between);
            Assert.Equal(
                DxfReader.Read(files[$"top/{sheet}.dxf"]).Count - 1,
                parts.Sum(p => DxfReader.Read(files[$"top/{p}.dxf"]).Count - 1));
            Assert.All(parts, p => Assert.Contains($"top/{p}.svg", files.Keys));
        }

        // What a later run has to know of as its own is all that can be written.
        Assert.Empty(files.Keys.Where(k => k.StartsWith("top/", StringComparison.Ordinal)).Select(k => k[4..]).Except(JobFiles.SideFileNames));
    }

    [Fact]
    public void Dxf_layers_have_the_users_names()
    {
        var settings = JobSettings.Default with { DxfCutLayer = "CUT-THROUGH", DxfScoreLayer = "MARK_1", DxfPocketLayer = "cut-through", DxfEdgeLayer = "0", DxfBlankLayer = "SHEET$" };
        var side = SampleJob.Make().Sides[0];
        var film = DxfReader.Read(DxfWriter.Write(side.Plan.Film, "t", settings));
        Assert.Equal(side.Plan.Film.Paths.Select(p => p.Kind == CutKind.Score ? "MARK_1" : "CUT-THROUGH").Append("SHEET$"), film.Select(p => p.Layer));
        var bytes = DxfWriter.Write(side.Plan.Frame!, "t", settings);
        Assert.Equal(["cut-through", "0", "SHEET$"], DxfReader.Read(bytes).Select(p => p.Layer));

        // Release 12 folds letter case: a layer is defined once.
        var text = Encoding.ASCII.GetString(bytes);
        Assert.Equal(4, text.Split("\nLAYER\n  2\n").Length - 1);
        Assert.All((string[])["", "two words", "käse", new string('A', 32), "a/b"], name => Assert.False(DxfWriter.IsLayerName(name)));
        Assert.Throws<ArgumentException>(() => DxfWriter.Write(side.Plan.Film, "t", settings with { DxfCutLayer = "a\n0" }));
    }

    [Fact]
    public void Svg_operations_have_widths_of_their_own()
    {
        var settings = JobSettings.Default with { SvgLineMm = 0.1, SvgCutLineMm = 0.01, SvgFrameLineMm = 0.02, SvgBlankPen = "#123456" };
        var side = SampleJob.Make().Sides[0];
        var film = Encoding.UTF8.GetString(SvgSheetWriter.Write(side.Plan.Film, "", SvgPens.Of(settings)));
        Assert.Contains("fill=\"none\" stroke-width=\"0.1\"", film, StringComparison.Ordinal);
        Assert.Contains("<g id=\"apertures\" stroke=\"#6B2FA0\" stroke-width=\"0.01\">", film, StringComparison.Ordinal);
        Assert.Contains("<g id=\"marks\" stroke=\"#8C5A12\">", film, StringComparison.Ordinal);
        Assert.Contains("<g id=\"blank\" stroke=\"#123456\">", film, StringComparison.Ordinal);
        var frame = Encoding.UTF8.GetString(SvgSheetWriter.Write(side.Plan.Frame!, "", SvgPens.Of(settings)));
        Assert.Contains("<g id=\"pocket\" stroke=\"#00646E\" stroke-width=\"0.02\">", frame, StringComparison.Ordinal);
    }

    private static Gen<CutPath> GenPath { get; } = Gen.Select(
        Gen.Select(Gen.Double[1, 99], Gen.Double[1, 99], Gen.Double[-1, 1], Gen.Int[0, 2]).Array[2, 6], Gen.Bool).Select((points, isClosed) => new CutPath
        {
            Kind = CutKind.Opening,
            Owner = "a",
            IsClosed = isClosed,
            Vertices = [.. points.Select(p => new PathVertex(p.Item1, p.Item2, p.Item4 == 0 ? 0 : p.Item3))],
        });

    private static Gen<(Point2 From, Point2 To, double TurnRad, Point2 Move)> GenPlacing { get; } = Gen.Select(
        Gen.Select(Gen.Double[0, 40], Gen.Double[0, 100]), Gen.Select(Gen.Double[60, 100], Gen.Double[0, 100]), Gen.Double[-Math.PI, Math.PI],
        Gen.Select(Gen.Double[-200, 200], Gen.Double[-200, 200])).Select((a, b, turn, move) => (new Point2(a.Item1, a.Item2), new Point2(b.Item1, b.Item2), turn, new Point2(move.Item1, move.Item2)));

    private static JobSettings Machine(int bits) => JobSettings.Default with
    {
        MachineX = (bits & 1) == 0 ? "right" : "left",
        MachineY = (bits & 2) == 0 ? "away" : "towards",
        GcodeUnits = (bits & 4) == 0 ? "mm" : "inch",
        MachineOrigin = _origins[bits % 5],
    };

    private static string Text(Point2 a, Point2 b) => string.Create(CultureInfo.InvariantCulture, $"{a.X:R},{a.Y:R} {b.X:R},{b.Y:R}");

    private static ImmutableArray<string> Names(JobSettings settings) =>
        [.. JobFiles.Write(SampleJob.Make(withBottom: false) with { Settings = settings }, TestContext.Current.CancellationToken).Select(f => f.Path)];

    // Where a machine finds a point of a sheet that lies square, written out for each origin and direction.
    private static Point2 OnMachine(Point2 p, BlankSize blank, JobSettings settings)
    {
        var fromLeft = settings.MachineOrigin switch { "lower_right" or "upper_right" => p.X - blank.WidthMm, "center" => p.X - (blank.WidthMm / 2), _ => p.X };
        var fromFront = settings.MachineOrigin switch { "upper_left" or "upper_right" => p.Y - blank.HeightMm, "center" => p.Y - (blank.HeightMm / 2), _ => p.Y };
        var at = settings.SheetAtMm.Split([',', ' '], StringSplitOptions.RemoveEmptyEntries).Select(v => double.Parse(v, CultureInfo.InvariantCulture)).ToArray();
        return new(at[0] + (settings.MachineX == "left" ? -fromLeft : fromLeft), at[1] + (settings.MachineY == "towards" ? -fromFront : fromFront));
    }

    // The beam passes every place of the path and no other, in its order: ends, places between, and the length agree.
    private static void Follows(ImmutableArray<CutPath> paths, GcodeMachine run, Func<Point2, Point2> onMachine)
    {
        Assert.Equal(paths.Length, run.Cuts.Count);
        foreach (var (path, cut) in paths.Zip(run.Cuts))
        {
            Near(onMachine(path.Start), cut[0].From);
            Near(onMachine(path.End), cut[^1].To);
            var places = new List<Point2>();
            for (var i = 0; i < path.SegmentCount; i++)
            {
                places.AddRange(((double[])[0, 0.2, 0.5, 0.9, 1]).Select(t => onMachine(path.SegmentAt(i).PointAt(t))));
            }

            foreach (var p in places)
            {
                Assert.True(cut.Min(m => m.DistanceTo(p)) < ToleranceMm, $"{cut.Min(m => m.DistanceTo(p))} off at {p}");
            }

            // Chords are shorter than their arcs by a share that their sagitta bounds.
            var length = cut.Sum(m => m.Length);
            Assert.InRange(length, (path.LengthMm * 0.97) - (0.004 * cut.Count), path.LengthMm + (0.004 * cut.Count));
        }
    }

    private static void Near(Point2 a, Point2 b) => Assert.True(Point2.Distance(a, b) < ToleranceMm, $"{a} and {b}");
}
