using System.Collections.Immutable;
using System.Text;
using Stencilwright.Artwork;
using Stencilwright.Boards.Roles;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Boards.Tests.Roles;

public class RoleFinderTests
{
    private static RoleGuess Find(string name, string head = "%FSLAX46Y46*%", ArtworkFormat? format = ArtworkFormat.Gerber) =>
        RoleFinder.Find(name, format, Encoding.UTF8.GetBytes(head));

    [Fact]
    public void Texts_of_roles_read_back()
    {
        foreach (var role in Enum.GetValues<LayerRole>())
        {
            Assert.Equal(role, LayerRoles.Parse(role.ToText()));
            Assert.Equal(role, LayerRoles.Parse(role.ToText().ToUpperInvariant()));
        }

        Assert.Null(LayerRoles.Parse("paste"));
        Assert.Equal(13, LayerRoles.Texts.Count());
    }

    // .FileFunction values: Gerber layer format specification, section 5.6.
    [Theory]
    [InlineData("%TF.FileFunction,Paste,Top*%", "paste-top")]
    [InlineData("%TF.FileFunction,Paste,Bot*%", "paste-bottom")]
    [InlineData("%TF.FileFunction,Profile,NP*%", "outline")]
    [InlineData("%TF.FileFunction,Copper,L1,Top*%", "copper-top")]
    [InlineData("%TF.FileFunction,Copper,L4,Bot,Signal*%", "copper-bottom")]
    [InlineData("%TF.FileFunction,Copper,L2,Inr*%", "ignore")]
    [InlineData("%TF.FileFunction,Soldermask,Top*%", "mask-top")]
    [InlineData("%TF.FileFunction,Legend,Bot*%", "legend-bottom")]
    [InlineData("%TF.FileFunction,Plated,1,2,PTH*%", "drill-plated")]
    [InlineData("%TF.FileFunction,NonPlated,1,2,NPTH*%", "drill-nonplated")]
    [InlineData("%TF.FileFunction,Component,L1,Top*%", "placement")]
    [InlineData("%TF.FileFunction,Drillmap*%", "ignore")]
    [InlineData("G04 #@! TF.FileFunction,Paste,Bot*", "paste-bottom")]
    public void A_standard_attribute_wins_over_any_name(string head, string role)
    {
        var guess = Find("board-Edge_Cuts.GTL", head);
        Assert.Equal(role, guess.Role.ToText());
        Assert.Equal(1, guess.Confidence);
    }

    [Theory]
    [InlineData("G04 Film Name:    PAST_BOT*\nG04 Layer:  PIN/X*\nG04 Layer:  BOARD GEOMETRY/OUTLINE*", "paste-bottom")]
    [InlineData("G04 Layer: TopPasteMaskLayer*", "paste-top")]
    [InlineData("G04 Layer: BottomSolderMaskLayer*", "mask-bottom")]
    [InlineData("%INSolderpaste Top*%", "paste-top")]
    [InlineData("%LNTopMask*%", "mask-top")]
    [InlineData("%LNBoardOutline*%", "outline")]
    public void Names_inside_the_file_tell_its_role(string head, string role) =>
        Assert.Equal(role, Find("1.gbr", head).Role.ToText());

    [Theory]
    [InlineData("x - Top Paste Mask.gbr", "paste-top")]
    [InlineData("x - Bottom Solder Mask.gbr", "mask-bottom")]
    [InlineData("TopPaste_noVias.gbr", "paste-top")]
    [InlineData("SOLDERPASTE_BOTTOM.GBR", "paste-bottom")]
    [InlineData("x-F.Paste.gbr", "paste-top")]
    [InlineData("x-B_Mask.gbr", "mask-bottom")]
    [InlineData("x-Edge.Cuts.gbr", "outline")]
    [InlineData("boardoutline.ger", "outline")]
    [InlineData("pastemask_top.pho", "paste-top")]
    [InlineData("toppaste.gbr", "paste-top")]
    [InlineData("stencil-bottom.gbr", "paste-bottom")]
    [InlineData("solder paste component side.gbr", "paste-top")]
    [InlineData("Paste solder side.gbr", "paste-bottom")]
    [InlineData("silkscreen_top.gbr", "legend-top")]
    [InlineData("Lötpaste_oben.gbr", "paste-top")]
    [InlineData("copper_bottom.gbr", "copper-bottom")]
    [InlineData("Bottom.gbr", "copper-bottom")]
    [InlineData("x.GTP", "paste-top")]
    [InlineData("x.gbp", "paste-bottom")]
    [InlineData("x.GKO", "outline")]
    [InlineData("x.GM1", "outline")]
    [InlineData("x.gml", "outline")]
    [InlineData("x.GTS", "mask-top")]
    [InlineData("x.GBL", "copper-bottom")]
    [InlineData("x.GTO", "legend-top")]
    [InlineData("x.G2L", "ignore")]
    [InlineData("x.GD1", "ignore")]
    [InlineData("assembly_top.gbr", "ignore")]
    [InlineData("folder/paste-top/Edge.gbr", "outline")]
    public void Names_and_extensions_of_the_trade_are_known(string name, string role) =>
        Assert.Equal(role, Find(name).Role.ToText());

    [Theory]
    [InlineData("x.drl", "M48", "drill-plated")]
    [InlineData("x-NPTH.drl", "M48", "drill-nonplated")]
    [InlineData("Through Hole (Unplated).drl", "M48", "drill-nonplated")]
    [InlineData("x.txt", "M48\n;TYPE=NON_PLATED", "drill-nonplated")]
    [InlineData("x.txt", "M48\n; #@! TF.FileFunction,NonPlated,1,2,NPTH", "drill-nonplated")]
    [InlineData("x.rou", "M48", "drill-nonplated")]
    public void Drill_data_says_whether_it_is_plated(string name, string head, string role) =>
        Assert.Equal(role, Find(name, head, ArtworkFormat.NcDrill).Role.ToText());

    [Fact]
    public void A_plot_is_known_by_its_title_or_name()
    {
        Assert.Equal(LayerRole.PasteTop, Find("1.svg", "<svg><title>plot of x-F.Paste</title>", ArtworkFormat.Svg).Role);
        Assert.Equal(LayerRole.Outline, Find("x-Edge.Cuts.svg", "<svg>", ArtworkFormat.Svg).Role);
    }

    [Theory]
    [InlineData("readme.txt")]
    [InlineData("top-paste.pdf")]
    [InlineData("nc_param.txt")]
    public void What_is_no_artwork_is_ignored(string name) => Assert.Equal(LayerRole.Ignore, Find(name, "", null).Role);

    [Fact]
    public void A_job_file_names_the_layers()
    {
        var hints = RoleHints.None.With("x.gbrjob", Encoding.UTF8.GetBytes("""{"FilesAttributes":[{"Path":"a.gbr","FileFunction":"SolderPaste,Bot"},{"Path":7}]}"""));
        var guess = RoleFinder.Find("a.gbr", ArtworkFormat.Gerber, default, null, hints);
        Assert.Equal(LayerRole.PasteBottom, guess.Role);
        Assert.Same(RoleHints.None.For("a.gbr"), RoleHints.None.With("x.gbrjob", "{ broken"u8.ToArray()).For("a.gbr"));
    }

    [Fact]
    public void Of_two_paste_layers_the_plainly_named_one_is_kept_and_the_other_is_named()
    {
        var both = ImmutableArray.Create(Candidate("TopPaste_noVias.gbr", 5), Candidate("TopPaste.gbr", 5));
        foreach (var order in (ImmutableArray<RoleCandidate>[])[both, [both[1], both[0]]])
        {
            var resolution = RoleResolver.Resolve(order);
            Assert.Equal("TopPaste.gbr", order[resolution.Guesses.IndexOf(resolution.Guesses.Single(g => g.Role == LayerRole.PasteTop))].File);
            var warning = Assert.Single(resolution.Diagnostics);
            Assert.Equal(("BRD060", Severity.Warning), (warning.Code, warning.Severity));
            Assert.Contains("--role \"TopPaste_noVias.gbr=paste-top\"", warning.Message, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void A_given_role_wins_and_a_wrong_name_is_an_error()
    {
        var files = ImmutableArray.Create(Candidate("TopPaste_noVias.gbr", 5), Candidate("TopPaste.gbr", 5));
        var given = new Dictionary<string, LayerRole> { ["toppaste_NOVIAS.gbr"] = LayerRole.PasteTop, ["TopPast.gbr"] = LayerRole.Ignore };
        var resolution = RoleResolver.Resolve(files, given);
        Assert.Equal([LayerRole.PasteTop, LayerRole.Ignore], resolution.Guesses.Select(g => g.Role));
        Assert.Contains(resolution.Diagnostics, d => d is { Code: "BRD063", Severity: Severity.Error } && d.Message.Contains("'TopPaste.gbr'", StringComparison.Ordinal));
    }

    [Fact]
    public void An_outline_that_is_empty_or_open_yields_to_a_closed_one()
    {
        var files = ImmutableArray.Create(Candidate("x.GKO", 0), Candidate("x.GM1", 5, stray: true), Candidate("x.GM2", 4));
        Assert.Equal([LayerRole.Ignore, LayerRole.Ignore, LayerRole.Outline], RoleResolver.Resolve(files).Guesses.Select(g => g.Role));
    }

    private static RoleCandidate Candidate(string name, int strokes, bool stray = false)
    {
        var objects = ImmutableArray.CreateBuilder<PaintedObject>();
        for (var i = 0; i < strokes; i++)
        {
            // The corners of a square in turn; a stray line stands apart.
            var (a, b) = (Corner(i), Corner(i + 1));
            var line = stray && i == strokes - 1 ? new Segment(new(50, 0), new(60, 0), 0) : new Segment(a, b, 0);
            objects.Add(new PaintedObject { Kind = PaintKind.Stroke, Shape = Region.Empty, SourceOffset = 0, CenterLine = line });
        }

        var image = new LayerImage
        {
            Source = new SourceText(name, default),
            Format = ArtworkFormat.Gerber,
            Unit = ArtworkUnit.Millimetre,
            Objects = objects.ToImmutable(),
            Islands = [],
        };
        return new RoleCandidate(name, ArtworkFormat.Gerber, Find(name), image);
    }

    private static Point2 Corner(int index) => (index % 4) switch { 0 => new(0, 0), 1 => new(9, 0), 2 => new(9, 9), _ => new(0, 9) };

    // Roles: the tables in each folder's NOTICE.
    private static readonly (string File, string Role)[] _real =
    [
        ("mixed-pads/Gerber_TopPasteMaskLayer.GTP", "paste-top"), ("mixed-pads/Gerber_BoardOutlineLayer.GKO", "outline"),
        ("mixed-pads/Gerber_TopSolderMaskLayer.GTS", "mask-top"), ("mixed-pads/Gerber_BottomSolderMaskLayer.GBS", "mask-bottom"),
        ("mixed-pads/Gerber_TopLayer.GTL", "copper-top"), ("mixed-pads/Gerber_BottomLayer.GBL", "copper-bottom"),
        ("mixed-pads/Drill_PTH_Through.DRL", "drill-plated"), ("mixed-pads/Drill_PTH_Through_Via.DRL", "drill-plated"),
        ("mixed-pads/PickAndPlace_simplefocmini_2024-04-26.csv", "placement"), ("mixed-pads/NOTICE.txt", "ignore"),
        ("page-frame/esp-rust-board-F_Paste.gbr", "paste-top"), ("page-frame/esp-rust-board-B_Paste.gbr", "paste-bottom"),
        ("page-frame/esp-rust-board-Edge_Cuts.gbr", "outline"), ("page-frame/esp-rust-board-F_Mask.gbr", "mask-top"),
        ("page-frame/esp-rust-board-B_Mask.gbr", "mask-bottom"), ("page-frame/esp-rust-board-B_Cu.gbr", "copper-bottom"),
        ("page-frame/esp-rust-board-NPTH.drl", "drill-nonplated"), ("page-frame/esp-rust-board-PTH.drl", "drill-plated"),
        ("page-frame/esp-rust-board-job.gbrjob", "ignore"), ("page-frame/esp-rust-board-top-pos.csv", "placement"),
        ("page-frame/esp-rust-board-bottom-pos.csv", "placement"),
        ("paired-svg/icezum-F.Paste.gbr", "paste-top"), ("paired-svg/icezum-Edge.Cuts.gbr", "outline"), ("paired-svg/icezum-F.Mask.gbr", "mask-top"),
        ("paired-svg/icezum-B.Mask.gbr", "mask-bottom"), ("paired-svg/icezum.drl", "drill-plated"), ("paired-svg/icezum-F.Paste.svg", "paste-top"),
        ("paired-svg/icezum-Edge.Cuts.svg", "outline"),
        ("hatched-pads/solderpaste_top.gbr", "paste-top"), ("hatched-pads/solderpaste_bottom.gbr", "paste-bottom"), ("hatched-pads/profile.gbr", "outline"),
        ("hatched-pads/soldermask_top.gbr", "mask-top"), ("hatched-pads/soldermask_bottom.gbr", "mask-bottom"), ("hatched-pads/copper_top.gbr", "copper-top"),
        ("hatched-pads/copper_bottom.gbr", "copper-bottom"), ("hatched-pads/drills.xln", "drill-plated"), ("hatched-pads/gerber_job.gbrjob", "ignore"),
        ("outline-with-dimensions/pixhawk_debug_adapter_mini.GTP", "paste-top"), ("outline-with-dimensions/pixhawk_debug_adapter_mini.GBP", "paste-bottom"),
        ("outline-with-dimensions/pixhawk_debug_adapter_mini.GM1", "outline"), ("outline-with-dimensions/pixhawk_debug_adapter_mini.GM2", "outline"),
        ("outline-with-dimensions/pixhawk_debug_adapter_mini.GKO", "outline"), ("outline-with-dimensions/pixhawk_debug_adapter_mini.GTS", "mask-top"),
        ("outline-with-dimensions/pixhawk_debug_adapter_mini.GBS", "mask-bottom"), ("outline-with-dimensions/pixhawk_debug_adapter_mini.GTL", "copper-top"),
        ("outline-with-dimensions/pixhawk_debug_adapter_mini.GBL", "copper-bottom"), ("outline-with-dimensions/pixhawk_debug_adapter_mini.TXT", "drill-plated"),
        ("outline-with-dimensions/Pick Place for pixhawk_debug_adapter_mini(Production).txt", "placement"),
        ("outline-with-dimensions/pixhawk_debug_adapter_mini.EXTREP", "ignore"),
        ("outline-on-artwork/PAST_TOP.art", "paste-top"), ("outline-on-artwork/PAST_BOT.art", "paste-bottom"), ("outline-on-artwork/MASK_TOP.art", "mask-top"),
        ("outline-on-artwork/MASK_BOT.art", "mask-bottom"), ("outline-on-artwork/TOP.art", "copper-top"), ("outline-on-artwork/BOTTOM.art", "copper-bottom"),
        ("outline-on-artwork/BeagleBone-AI-1-12.drl", "drill-plated"), ("outline-on-artwork/nc_param.txt", "ignore"),
        ("old-codes/TopPaste.gbr", "paste-top"), ("old-codes/TopPaste_noVias.gbr", "paste-top"), ("old-codes/BottomPaste.gbr", "paste-bottom"),
        ("old-codes/BoardOutline.gbr", "outline"), ("old-codes/Board.gbr", "outline"), ("old-codes/TopMask.gbr", "mask-top"), ("old-codes/Top.gbr", "copper-top"),
        ("old-codes/Bottom.gbr", "copper-bottom"), ("old-codes/Through.drl", "drill-plated"),
        ("modal-lines/OBCI_V4_C - Top Paste Mask.gbr", "paste-top"), ("modal-lines/OBCI_V4_C - Bottom Paste Mask.gbr", "paste-bottom"),
        ("modal-lines/OBCI_V4_C - Board Outline.gbr", "outline"), ("modal-lines/OBCI_V4_C - Top Solder Mask.gbr", "mask-top"),
        ("modal-lines/OBCI_V4_C - Bottom Solder Mask.gbr", "mask-bottom"), ("modal-lines/OBCI_V4_C - Top Copper.gbr", "copper-top"),
        ("modal-lines/OBCI_V4_C - Bottom Copper.gbr", "copper-bottom"), ("modal-lines/OBCI_V4_C - Drill Data - Through Hole.drl", "drill-plated"),
        ("modal-lines/OBCI_V4_C - Drill Data - Through Hole (Unplated).drl", "drill-nonplated"), ("modal-lines/OBCI_V4_C (Component Positions CSV).csv", "placement"),
        ("drill-routed/BeagleV-FIRE_REV-A_230911-1-12.drl", "drill-plated"), ("drill-routed/BeagleV-FIRE_REV-A_230911_1-12.rou", "drill-nonplated"),
        ("drill-routed/OUTLINE.art", "outline"), ("drill-routed/nc_param.txt", "ignore"),
        ("drill-slots/cheriot-test-RoundHoles.NCDRILL", "drill-plated"), ("drill-slots/cheriot-test-SlotHoles.NCDRILL", "drill-plated"),
    ];

    [Fact]
    public void Every_file_of_the_real_boards_has_its_role()
    {
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        var wrong = new List<string>();
        foreach (var (file, role) in _real)
        {
            var path = Path.Combine(RealBoards.Folder!, file);
            var bytes = File.ReadAllBytes(path);
            var hints = RoleHints.None;
            foreach (var other in Directory.GetFiles(Path.GetDirectoryName(path)!).Where(RoleHints.IsHintFile).Order(StringComparer.Ordinal))
            {
                hints = hints.With(other, File.ReadAllBytes(other));
            }

            var format = FormatSniffer.Sniff(bytes);
            var guess = RoleFinder.Find(file, format, bytes.AsMemory(0, Math.Min(bytes.Length, RoleFinder.HeadBytes)), null, hints);
            if (guess.Role.ToText() != role)
            {
                wrong.Add($"{file}: {guess.Role.ToText()} ({format}) because {guess.Why}, not {role}");
            }
        }

        Assert.Empty(wrong);
    }
}
