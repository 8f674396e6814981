using System.Text;
using Stencilwright.Artwork;
using Stencilwright.Boards.Checks;
using Stencilwright.Boards.Roles;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Xunit;

namespace Stencilwright.Workbench.Tests;

// A board of our own in one IPC-2581 file; names of elements are the standard's, from memory.
public sealed class WholeBoardTests : IDisposable
{
    private const string Board = """
        <?xml version="1.0" encoding="UTF-8"?>
        <IPC-2581 revision="B" xmlns="http://webstds.ipc.org/2581"><Content><StepRef name="s"/></Content>
        <Ecad><CadHeader units="MILLIMETER"/><CadData>
        <Layer name="Cu" layerFunction="CONDUCTOR" side="TOP"/><Layer name="In" layerFunction="CONDUCTOR" side="INTERNAL"/>
        <Layer name="Paste" layerFunction="SOLDERPASTE" side="TOP"/><Layer name="Under" layerFunction="PASTEMASK" side="BOTTOM"/>
        <Layer name="Mask" layerFunction="SOLDERMASK" side="TOP"/><Layer name="Drill" layerFunction="DRILL" side="ALL"/>
        <Layer name="Bare" layerFunction="LEGEND" side="TOP"/><Layer name="Fab" layerFunction="ASSEMBLY" side="TOP"/>
        <Step name="s"><Profile><Polygon><PolyBegin x="0" y="0"/><PolyStepSegment x="30" y="0"/><PolyStepSegment x="30" y="20"/><PolyStepSegment x="0" y="20"/></Polygon></Profile>
        <Component refDes="R1" packageRef="P" layerRef="Cu"><Location x="10" y="10"/></Component><Component refDes="R2" packageRef="P" layerRef="Cu"><Location x="14" y="12"/></Component>
        <LayerFeature layerRef="Cu"><Set>PADS</Set></LayerFeature><LayerFeature layerRef="In"><Set>PADS</Set></LayerFeature>
        <LayerFeature layerRef="Paste"><Set>PADS</Set></LayerFeature><LayerFeature layerRef="Under"><Set>PADS</Set></LayerFeature>
        <LayerFeature layerRef="Mask"><Set>PADS</Set></LayerFeature><LayerFeature layerRef="Fab"><Set>PADS</Set></LayerFeature>
        <LayerFeature layerRef="Drill"><Set><Hole diameter="1" platingStatus="PLATED" x="5" y="5"/></Set></LayerFeature></Step></CadData></Ecad></IPC-2581>
        """;

    private const string Pads = "<Pad><Location x='9' y='10'/><RectCenter width='1' height='1.2'/><PinRef componentRef='R1' pin='1'/></Pad><Pad><Location x='11' y='10'/><RectCenter width='1' height='1.2'/><PinRef componentRef='R1' pin='2'/></Pad>";

    private readonly string _folder = Directory.CreateTempSubdirectory("stencilwright-").FullName;

    private string Out => Path.Combine(_folder, "out");

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private string Write(string name, string text)
    {
        var path = Path.Combine(_folder, name);
        File.WriteAllText(path, text);
        return path;
    }

    private static readonly Progress<string> _silent = new();

    private static SurveyResult Survey(params string[] paths) => SurveyUseCase.Run(new JobRequest { Paths = [.. paths] }, () => Stream.Null, _silent);

    [Fact]
    public void Every_layer_of_the_file_plays_its_own_part()
    {
        var survey = Survey(Write("board.xml", Board.Replace("PADS", Pads, StringComparison.Ordinal)));
        Assert.Equal(
            [
                ("board.xml", "placement", 2), ("board.xml#profile", "outline", 1), ("board.xml#Cu", "copper-top", 2), ("board.xml#In", "ignore", 2), ("board.xml#Paste", "paste-top", 2),
                ("board.xml#Under", "paste-bottom", 2), ("board.xml#Mask", "mask-top", 2), ("board.xml#Drill", "drill-plated", 1), ("board.xml#Fab", "ignore", 2),
            ],
            survey.Files.Select(f => (f.File, f.Role, f.FeatureCount)));
        Assert.All(survey.Files, f => Assert.Equal(("ipc-2581", "mm"), (f.Format, f.Units)));
        Assert.Equal(2.4, survey.Files[4].PaintedAreaMm2, 1e-9);
        Assert.Equal((10, 14), (survey.Files[0].BoundsMm.MinX, survey.Files[0].BoundsMm.MaxX));
        Assert.Equal(600, survey.Board!.AreaMm2, 1e-9);
        Assert.Equal(ExitCodes.Done, survey.ExitCode);
    }

    [Fact]
    public void One_file_is_enough_to_prepare_both_sides()
    {
        var result = PrepareUseCase.Run(
            new JobRequest { Paths = [Write("board.xml", Board.Replace("PADS", Pads, StringComparison.Ordinal))], OutDirectory = Out }, () => Stream.Null, _silent);
        Assert.Equal(ExitCodes.Done, result.ExitCode);
        Assert.Equal(2, result.Job!.Sides.Length);
        Assert.Contains("top/film.svg", result.WrittenFiles);
        Assert.Contains("bottom/film.svg", result.WrittenFiles);
        Assert.Contains(result.Job.Sources, s => s is { File: "board.xml#Paste", Role: "paste-top", Format: "ipc-2581" });
        Assert.DoesNotContain(result.Job.Sources, s => s.File == "board.xml#Fab");
        Assert.Single(result.Job.Sources.Select(s => s.Sha256).Distinct());
        var report = Encoding.UTF8.GetString(result.ReportJson.Span);
        Assert.Contains("\"component\": \"R1\"", report, StringComparison.Ordinal);
    }

    [Fact]
    public void A_layer_can_be_given_another_role()
    {
        var path = Write("board.xml", Board.Replace("PADS", Pads, StringComparison.Ordinal));
        var survey = SurveyUseCase.Run(new JobRequest { Paths = [path], Roles = [("board.xml#Fab", "paste-top")] }, () => Stream.Null, _silent);
        Assert.Equal("paste-top", survey.Files.Single(f => f.File == "board.xml#Fab").Role);
        Assert.Equal("ignore", survey.Files.Single(f => f.File == "board.xml#Paste").Role);
    }

    [Fact]
    public void A_damaged_file_stops_the_job_with_its_place()
    {
        var text = Board.Replace("PADS", Pads, StringComparison.Ordinal);
        var path = Write("board.xml", text[..text.IndexOf("<LayerFeature layerRef=\"Mask\"", StringComparison.Ordinal)]);
        var result = PrepareUseCase.Run(new JobRequest { Paths = [path], OutDirectory = Out }, () => Stream.Null, _silent);
        Assert.Equal(ExitCodes.BadInput, result.ExitCode);
        var fault = Assert.Single(result.Diagnostics, d => d.Severity == Severity.Error);
        Assert.Equal(("ART340", "board.xml"), (fault.Code, fault.Place.File));
        Assert.False(Directory.Exists(Out));
        Assert.Equal(ExitCodes.BadInput, Survey(path).ExitCode);
    }

    [Fact]
    public void Layers_of_their_own_format_go_before_those_of_a_whole_boards_file()
    {
        Write("board.xml", Board.Replace("PADS", Pads, StringComparison.Ordinal));
        Write("top.gbr", "%TF.FileFunction,Paste,Top*%\n%FSLAX46Y46*%\n%MOMM*%\n%ADD10R,1X1.2*%\nD10*\nX9000000Y10000000D03*\nM02*\n");
        var survey = Survey(_folder);
        Assert.Equal("paste-top", survey.Files.Single(f => f.File == "top.gbr").Role);
        Assert.Equal("ignore", survey.Files.Single(f => f.File == "board.xml#Paste").Role);
        Assert.Equal(Severity.Note, Assert.Single(survey.Diagnostics, d => d.Code == "BRD060").Severity);
    }

    [Fact]
    public void Lists_of_parts_and_layers_of_holes_are_at_hand_for_the_job()
    {
        Write("board.xml", Board.Replace("PADS", Pads, StringComparison.Ordinal));
        Write("places.csv", "Ref,X (mm),Y (mm),Rotation,Side\nC1,1,2,90,top\n");
        Write("parts.gbr", "%TF.FileFunction,Component,L1,Top*%\n%FSLAX46Y46*%\n%MOMM*%\n%TA.AperFunction,ComponentMain*%\n%ADD10C,0.3*%\n%TO.C,U1*%\nD10*\nX3000000Y4000000D03*\nM02*\n");
        Write("notes.txt", "Ref;X;Y\nQ1;7;8\n");
        var (files, _) = ArtworkGathering.Gather(new JobRequest { Paths = [_folder], Roles = [("notes.txt", "placement")] }, () => Stream.Null);
        var lists = JobSources.Placements(files, TestContext.Current.CancellationToken);
        Assert.Equal(
            [(ArtworkFormat.Ipc2581, "R1"), (ArtworkFormat.Placement, "Q1"), (ArtworkFormat.Gerber, "U1"), (ArtworkFormat.Placement, "C1")],
            lists.Select(l => (l.Format, l.Parts[0].Reference)));
        var drill = Assert.Single(JobSources.Drills(files, TestContext.Current.CancellationToken));
        Assert.Equal((LayerRole.DrillPlated, 1), (drill.Role, drill.Image!.Objects.Length));
    }

    // A slot of 1 mm from (0, 0) to (10, 0): every point of its middle line and almost all of its sides are covered.
    [Fact]
    public void A_slot_is_kept_clear_along_its_whole_length()
    {
        var slot = new BoardHole(new(0, 0), 1, true, SourcePlace.Whole("x.drl")) { SlotEnd = new(10, 0) };
        var circles = LayerChecks.Circles(slot).ToList();
        for (var x = 0.0; x <= 10; x += 0.01)
        {
            Assert.Contains(circles, c => Point2.Distance(c.Center, new(x, 0.48)) <= c.DiameterMm / 2);
        }

        Assert.Equal(new(new(3, 4), 0.3), Assert.Single(LayerChecks.Circles(new(new(3, 4), 0.3, null, SourcePlace.Whole("x.drl")))));
    }

    [Fact]
    public void A_list_without_a_place_in_the_survey_is_counted_and_its_questions_are_asked()
    {
        var survey = Survey(Write("places.csv", "Ref;Val;X;Y;Rot;Side\nC1;100n;1611;1483;0;top\nC2;1u;2417;375;90;top\n"));
        var file = Assert.Single(survey.Files);
        Assert.Equal(("placement", "placement", "inch", 2), (file.Format, file.Role, file.Units, file.FeatureCount));
        Assert.Equal(2417 * 0.0254, file.BoundsMm.MaxX, 1e-9);
        Assert.Contains(file.Diagnostics, d => d.Code == "ART302");
    }
}
