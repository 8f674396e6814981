using System.Globalization;
using System.Text;
using CsCheck;
using Stencilwright.Artwork.Placement;
using Stencilwright.Foundation;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Artwork.Tests.Placement;

// Column names, units and layouts met in practice: common practice, no source.
public class PlacementLayoutTests
{
    [Theory]
    [InlineData("Designator,Mid X (mm),Mid Y (mm),Layer,Rotation\nR7,12.5,-3.25,TopLayer,90")]
    [InlineData("RefDes;PosX [mm];PosY [mm];TB;Rot\nR7;12,5;-3,25;T;90,0")]
    [InlineData("Reference\tX\tY\tSide\tAngle\nR7\t12.5mm\t-3.25 mm\ttop\t90°")]
    [InlineData("# Ref|center-x_mm|center-y_mm|mount side|orientation\nR7|12.5|-3.25|F.Cu|90")]
    [InlineData("Bezeichner;X-Koordinate [mm];Y-Koordinate [mm];Drehung;Seite\nR7;12,500;-3,2500;90;oben")]
    [InlineData("Repère;Coordonnée X (mm);Coordonnée Y (mm);Angle;Face\nR7;12,5;-3,25;90;dessus")]
    [InlineData("Side,Rot,Y (mm),X (mm),Ref\nTop,450,-3.25,12.5,R7")]
    [InlineData("\"Ref\",\"PosX\",\"PosY\",\"Rot\",\"Side\"\n\"R7\",\"12.5mm\",\"-3.25mm\",\"90\",\"component side\"")]
    [InlineData("Name,X (mil),Y (mil),Rotation,Layer\nR7,492.1259842519685,-127.95275590551181,90,Top")]
    [InlineData("Part X(in) Y(in) Rotation Side\nR7   0.4921259842519685 -0.12795275590551181 90 T")]
    [InlineData("### Places, unit = mm, angle = deg\n## Side : top\n# Ref     Val       Package      PosX       PosY       Rot  Side\nR7        10k       R_0603    12.5000    -3.2500   90.0000  top\n## End")]
    [InlineData("Units: inch\n\nRef,X,Y,Rot,Side\n====\n\nR7,.4921259842519685,-.12795275590551181,90deg,top\n")]
    [InlineData("Dimensions in mm\nref,mid x,mid y,rot,mirrored\nR7,1.25e1,-3.25,90,no")]
    [InlineData("Ref,X (um),Y (um),Rot,Side\nR7,12500,-3250,90,1\nR8,1,1,0,Top")]
    public void One_part_is_read_the_same_from_every_layout(string text)
    {
        var part = Lists.Read(text).Value!.Parts[0];
        Assert.Equal("R7", part.Reference);
        Assert.Equal(12.5, part.At.X, 1e-9);
        Assert.Equal(-3.25, part.At.Y, 1e-9);
        Assert.Equal(90, Math.IEEERemainder(part.RotationDeg!.Value, 360));
        Assert.True(part.IsTop ?? text.Contains(",1\n", StringComparison.Ordinal));
    }

    // The answer is planted: whatever the order, separator, encoding, unit and decimal sign, the same parts come back.
    [Fact]
    public void Written_lists_come_back()
    {
        var gen = Gen.Select(Gen.Int[1, 60], Gen.Int[0, 3], Gen.Int[0, 4], Gen.Int[0, 3], Gen.Int[0, 1_000_000]);
        gen.Check(
            (count, delimiter, encoding, unit, seed) =>
            {
                var random = new Random(seed);
                var parts = Enumerable.Range(0, count).Select(i => (
                    Ref: $"R{i}", X: random.Next(-200_000, 200_000) / 1000.0, Y: random.Next(-200_000, 200_000) / 1000.0,
                    Rot: random.Next(0, 3600) / 10.0, IsTop: random.Next(2) == 0)).ToList();
                var outcome = Lists.Read(Write(parts, ",;\t|"[delimiter], encoding, unit, random));
                Assert.Empty(outcome.Diagnostics);
                var list = outcome.Value!;
                Assert.Equal(parts.Count, list.Parts.Length);
                Assert.False(list.IsUnitAssumed);
                for (var i = 0; i < parts.Count; i++)
                {
                    var part = list.Parts[i];
                    Assert.Equal(parts[i].Ref, part.Reference);
                    Assert.Equal(parts[i].X, part.At.X, 1e-6);
                    Assert.Equal(parts[i].Y, part.At.Y, 1e-6);
                    Assert.Equal(parts[i].Rot, part.RotationDeg!.Value, 1e-9);
                    Assert.Equal(parts[i].IsTop, part.IsTop);
                    Assert.Equal("0603; \"best\", Ω", part.Package);
                    Assert.Equal(i + 2, part.Place.Line);
                }
            },
            iter: 200);
    }

    private static byte[] Write(
        List<(string Ref, double X, double Y, double Rot, bool IsTop)> parts, char delimiter, int encoding, int unit, Random random)
    {
        var (name, mm) = ((string, double)[])[("mm", 1), ("mil", 0.0254), ("in", 25.4), ("um", 0.001)] is var units ? units[unit] : default;
        var isComma = random.Next(2) == 0;
        string Number(double value)
        {
            var text = value.ToString("0.000000000###", CultureInfo.InvariantCulture);
            return isComma ? text.Replace('.', ',') : text;
        }

        var columns = new (string Name, Func<(string Ref, double X, double Y, double Rot, bool IsTop), string> Text)[]
        {
            ("Ref", p => p.Ref), ($"Mid X ({name})", p => Number(p.X / mm)), ($"Mid Y ({name})", p => Number(p.Y / mm)),
            ("Rotation", p => Number(p.Rot)), ("Side", p => p.IsTop ? "Top" : "Bottom"), ("Footprint", _ => "0603; \"best\", Ω"), ("Extra", _ => "1"),
        };
        random.Shuffle(columns);
        string Line(Func<int, string> cell) => string.Join(delimiter, columns.Select((_, i) => $"\"{cell(i).Replace("\"", "\"\"", StringComparison.Ordinal)}\""));
        var text = string.Join(random.Next(2) == 0 ? "\r\n" : "\n", parts.Select(p => Line(i => columns[i].Text(p))).Prepend(Line(i => columns[i].Name)));
        Encoding[] encodings = [new UTF8Encoding(false), new UTF8Encoding(true), new UnicodeEncoding(false, true), new UnicodeEncoding(true, true), new UnicodeEncoding(false, false)];
        return [.. encodings[encoding].GetPreamble(), .. encodings[encoding].GetBytes(text)];
    }

    [Fact]
    public void Latin_letters_are_read_and_the_guess_is_said()
    {
        var outcome = Lists.Read(Encoding.Latin1.GetBytes("Ref;Gehäuse;X (mm);Y (mm);Winkel;Seite\nR1;Größe 5;1;2;0;oben\n"));
        Assert.Equal("Größe 5", outcome.Value!.Parts[0].Package);
        Lists.Has(outcome, "ART313", Severity.Note);
    }

    [Fact]
    public void Text_with_blanks_in_aligned_columns_stays_with_its_column()
    {
        var list = Lists.Read("""
            Units used: mil

            Designator Comment                 Layer    Footprint   Center-X(mil) Center-Y(mil) Rotation Description
            U1         "HEADER .05" SMD"       TopLayer SOT23 small 1000.000      -500.000      270      "some words"
            R10        LONG_NAME               Botlayer R0603       20            30            0        x
            """);
        Assert.Empty(list.Diagnostics);
        Assert.Equal(["U1", "R10"], list.Value!.Parts.Select(p => p.Reference));
        Assert.Equal("HEADER .05\" SMD", list.Value.Parts[0].Value);
        Assert.Equal("SOT23 small", list.Value.Parts[0].Package);
        Assert.Equal(-12.7, list.Value.Parts[0].At.Y, 1e-12);
        Assert.False(list.Value.Parts[1].IsTop);
        Assert.Equal(ArtworkUnit.Inch, list.Value.Unit);
    }

    [Fact]
    public void Numbers_may_reach_left_of_their_right_aligned_names()
    {
        var list = Lists.Read("""
            # Ref  Val         Package               PosX       PosY       Rot  Side
            C1     10 n, 5 %   C_0402_1005Metric  151.4348   -90.6272   90.0000  top
            C12    1u          C_0402_1005Metric    1.4348    -0.6272  -90.0000  bottom
            """).Value!;
        Assert.Equal(151.4348, list.Parts[0].At.X);
        Assert.Equal("10 n, 5 %", list.Parts[0].Value);
        Assert.Equal(-90, list.Parts[1].RotationDeg);
    }

    [Fact]
    public void A_list_without_names_is_told_by_its_content_and_says_so()
    {
        var outcome = Lists.Read("C1,100n,C_0402,1.5,2.5,90,top\nC2,220n,C_0402,3.5,2.5,180,top\nR1,10k,R_0402,-4,2.25,0,bottom\n");
        var part = outcome.Value!.Parts[2];
        Assert.Equal((-4, 2.25, 0.0, false), (part.At.X, part.At.Y, part.RotationDeg, part.IsTop));
        Assert.Equal(("10k", "R_0402"), (part.Value, part.Package));
        Lists.Has(outcome, "ART301", Severity.Warning);
    }

    [Fact]
    public void The_middle_is_preferred_to_the_first_pin_and_the_choice_is_said()
    {
        var outcome = Lists.Read("Designator,Pad X,Pad Y,Ref X,Ref Y,Mid X,Mid Y\nR1,1mm,2mm,3mm,4mm,5mm,6mm\n");
        Assert.Equal(5, outcome.Value!.Parts[0].At.X);
        Lists.Has(outcome, "ART304", Severity.Note);
        Assert.DoesNotContain(Lists.Read("Designator,Pad X,Pad Y,Mid X,Mid Y\nR1,5mm,6mm,5mm,6mm\n").Diagnostics, d => d.Code == "ART304");
    }

    [Fact]
    public void Two_columns_with_an_equal_claim_are_a_question() =>
        Lists.Has(Lists.Read("Ref,X (mm),Y (mm),Center X (mm),Center Y (mm),Rot\nR1,1,2,3,4,0\n"), "ART304", Severity.Warning);

    [Theory]
    [InlineData("R1,10,20\nR2,60,45", "mm", Severity.Note)]
    [InlineData("R1,10,20\nR2,25,30", "mm", Severity.Warning)]
    [InlineData("R1,1611,1483\nR2,2417,375", "mil", Severity.Note)]
    [InlineData("R1,250,250\nR2,600,475", "mil", Severity.Warning)]
    [InlineData("R1,0.5,1.25\nR2,2.1,1.5", "mm", Severity.Warning)]
    public void A_missing_unit_is_assumed_from_the_extent_and_asked_about(string rows, string unit, Severity severity)
    {
        var outcome = Lists.Read("Ref,X,Y\n" + rows);
        Assert.True(outcome.Value!.IsUnitAssumed);
        var question = Assert.Single(outcome.Diagnostics, d => d.Code == "ART302");
        Assert.Equal(severity, question.Severity);
        Assert.Contains($"; {unit} was taken", question.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_comment_may_name_the_unit() =>
        Assert.Equal(2.54, Lists.One("# Units: mil\nRef,X,Y\nR1,100,0").At.X, 1e-12);

    [Fact]
    public void Units_that_contradict_each_other_are_reported()
    {
        var outcome = Lists.Read("# Units: mil\nRef,X (mm),Y (mm),Rot\nR1,100,0,0");
        Lists.Has(outcome, "ART308", Severity.Warning);
        Assert.Equal(100, outcome.Value!.Parts[0].At.X);
    }

    [Theory]
    [InlineData("\"1,234\"", 1.234, true)]
    [InlineData("\"1,234.5\"", 1234.5, false)]
    [InlineData("\"1.234,5\"", 1234.5, false)]
    [InlineData("\"12,5\"", 12.5, false)]
    public void Commas_in_numbers(string cell, double value, bool isAsked)
    {
        var outcome = Lists.Read($"Ref,X (mm),Y (mm)\nR1,{cell},2");
        Assert.Equal(value, outcome.Value!.Parts[0].At.X, 1e-12);
        Assert.Equal(isAsked, outcome.Diagnostics.Any(d => d.Code == "ART306"));
    }

    [Fact]
    public void A_separator_inside_unquoted_text_does_not_shift_the_numbers()
    {
        var list = Lists.Read("Ref,Val,X (mm),Y (mm),Rot,Side\nC1,10n, 50V,1,2,90,top\nC2,1u,3,4,0,top\n").Value!;
        Assert.Equal([(1, 2), (3, 4)], list.Parts.Select(p => (p.At.X, p.At.Y)));
    }

    [Fact]
    public void A_decimal_comma_between_commas_is_left_out_not_misread()
    {
        var outcome = Lists.Read("Ref,X (mm),Y (mm),Rot,Side\nC1,12,5,34,7,90,top\n");
        Assert.Empty(outcome.Value!.Parts);
        Lists.Has(outcome, "ART305", Severity.Warning);
    }

    [Fact]
    public void Parts_named_twice_are_kept_and_counted()
    {
        var outcome = Lists.Read("Ref,X (mm),Y (mm)\nR1,1,1\nR1,2,2\nR1,3,3\n");
        Assert.Equal(3, outcome.Value!.Parts.Length);
        Assert.Contains("2 lines", outcome.Diagnostics.Single(d => d.Code == "ART309").Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("mixed-pads/PickAndPlace_simplefocmini_2024-04-26.csv", 13, false)]
    [InlineData("page-frame/esp-rust-board-top-pos.csv", 53, true)]
    [InlineData("page-frame/esp-rust-board-bottom-pos.csv", 1, true)]
    [InlineData("modal-lines/OBCI_V4_C (Component Positions CSV).csv", 83, true)]
    [InlineData("outline-with-dimensions/Pick Place for pixhawk_debug_adapter_mini(Production).txt", 22, false)]
    public void Real_lists_are_read_whole(string path, int lines, bool isAssumed)
    {
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        var bytes = File.ReadAllBytes(Path.Combine(RealBoards.Folder!, path));
        Assert.True(PlacementReader.LooksLikePlacement(bytes.AsSpan(0, Math.Min(bytes.Length, 16384))));
        var outcome = Lists.Read(bytes);
        var list = outcome.Value!;
        Assert.Equal(lines, list.Parts.Length);
        Assert.Equal(isAssumed, list.IsUnitAssumed);
        Assert.All(list.Parts, p => Assert.True(p.RotationDeg is not null && p.IsTop is not null && p.Package is not null));
        Assert.DoesNotContain(outcome.Diagnostics, d => d.Severity == Severity.Error || d.Code is "ART305" or "ART314");
    }
}
