using System.Text;
using CsCheck;
using Stencilwright.Artwork.Svg;
using Stencilwright.Foundation;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Artwork.Tests.Svg;

public class HostileSvgTests
{
    [Fact]
    public void Nested_entities_are_refused_and_expand_to_nothing()
    {
        var outcome = Plots.Read("""
            <!DOCTYPE svg [<!ENTITY a "xxxxxxxxxx"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;"><!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;">]>
            <svg xmlns="http://www.w3.org/2000/svg" width="10mm" height="10mm"><rect width="5" height="5"/><title>&c;</title></svg>
            """);
        Assert.Contains(outcome.Diagnostics, d => d is { Code: "ART103", Severity: Severity.Error, Place.Line: 2 });
        Assert.Single(outcome.Value!.Objects);
    }

    [Fact]
    public void Another_file_is_never_opened()
    {
        var outcome = Plots.Read("""
            <!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]>
            <svg xmlns="http://www.w3.org/2000/svg" width="10mm" height="10mm"><use href="file:///etc/passwd#a"/><text>&x;</text></svg>
            """);
        Assert.Contains(outcome.Diagnostics, d => d is { Code: "ART103", Severity: Severity.Warning });
        Assert.Contains(outcome.Diagnostics, d => d is { Code: "ART103", Severity: Severity.Error });
        Assert.DoesNotContain(outcome.Diagnostics, d => d.Message.Contains("root:", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("<g id='a'><use href='#a'/></g>")]
    [InlineData("<use id='a' href='#a'/>")]
    [InlineData("<g id='a'><use href='#b'/></g><g id='b'><use href='#a'/></g>")]
    public void A_copy_of_itself_ends_in_a_message(string body) =>
        Assert.Contains(Plots.Drawn(body).Diagnostics, d => d is { Code: "ART108" or "ART109", Severity: Severity.Error });

    [Fact]
    public void Copies_of_copies_stop_at_the_limit_of_objects()
    {
        var body = new StringBuilder("<defs><rect id='l0' width='1' height='1'/>");
        for (var i = 1; i < 9; i++)
        {
            body.Append($"<g id='l{i}'>").Insert(body.Length, $"<use href='#l{i - 1}'/>", 10).Append("</g>");
        }

        var outcome = Plots.Drawn(body + "</defs><use href='#l8'/>", ReadLimits.Default with { MaxObjects = 2_000 });
        Assert.Contains(outcome.Diagnostics, d => d is { Code: "ART109", Severity: Severity.Error });
        Assert.Equal(2_000, outcome.Value!.Objects.Length);
        Assert.Equal(1, outcome.Value.PaintedAreaMm2, 1e-9);
    }

    [Fact]
    public void Deep_nesting_is_cut_off_with_a_message()
    {
        var body = string.Concat(Enumerable.Repeat("<g>", 100_000)) + "<rect width='1' height='1'/>" + string.Concat(Enumerable.Repeat("</g>", 100_000));
        Assert.Contains(Plots.Drawn("<rect width='2' height='2'/>" + body).Diagnostics, d => d is { Code: "ART109", Severity: Severity.Error });
    }

    [Theory]
    [InlineData("", "ART100", 1)]
    [InlineData("not xml", "ART100", 1)]
    [InlineData("<svg xmlns='http://www.w3.org/2000/svg' width='1mm' height='1mm'>\n<rect width='1'", "ART100", 2)]
    [InlineData("<html/>", "ART101", 1)]
    [InlineData("<svg width='9mm' height='9mm' viewBox='0 0 9 9'>\n\r\n  <path d='M0 0 L1 1 L2'/></svg>", "ART104", 3)]
    [InlineData("<svg width='9mm' height='9mm' viewBox='0 0 9 9'>\n<path d='L1 1'/></svg>", "ART104", 2)]
    [InlineData("<svg width='9mm' height='9mm' viewBox='0 0 9 9'>\n<rect transform='spin(3)' width='1' height='1'/></svg>", "ART105", 2)]
    [InlineData("<svg width='9mm' height='9mm' viewBox='0 0 0 9'/>", "ART105", 1)]
    [InlineData("<svg width='9mm' height='9mm' viewBox='0 0 9 9'>\n<rect width='wide' height='1'/></svg>", "ART105", 2)]
    [InlineData("<svg width='9mm' height='9mm' viewBox='0 0 9 9'>\n<rect x='1e9' width='1' height='1'/></svg>", "ART110", 2)]
    [InlineData("<svg width='9mm' height='9mm' viewBox='0 0 9 9'>\n<use href='#none'/></svg>", "ART108", 2)]
    public void Each_fault_has_its_code_and_line(string svg, string code, int line)
    {
        var fault = Assert.Single(Plots.Read(svg).Diagnostics, d => d.Severity == Severity.Error && d.Code == code);
        Assert.Equal(line, fault.Place.Line);
    }

    [Theory]
    [InlineData("<text x='1'>R1</text>", "ART106")]
    [InlineData("<image href='a.png'/>", "ART107")]
    [InlineData("<rect width='1' height='1' clip-path='url(#c)'/>", "ART108")]
    [InlineData("<rect width='1' height='1' style='clip-path: circle(2px)'/>", "ART107")]
    [InlineData("<rect width='1' height='1' style='mask:url(#m)'/>", "ART107")]
    [InlineData("<path d='M0 0H9' stroke='#000' marker-end='url(#m)'/>", "ART107")]
    [InlineData("<rect width='1' height='1' fill='url(#g)'/>", "ART107")]
    [InlineData("<rect width='1' height='1' fill-opacity='.5'/>", "ART113")]
    [InlineData("<path d='M0 0H9' stroke='#000' stroke-dasharray='.0001 .0001'/>", "ART114")]
    [InlineData("<path d='M0 0H90' stroke='#000' stroke-dasharray='.002' pathLength='900'/>", "ART114")]
    [InlineData("<path d='M0 0H9' stroke='#000' stroke-dasharray='1 -1'/>", "ART105")]
    [InlineData("<style>@import url(x.css);</style>", "ART115")]
    [InlineData("<style>g + rect{fill:none}</style>", "ART115")]
    [InlineData("<rect width='1' height='1' transform='scale(0 1)'/>", "ART117")]
    [InlineData("<path d='M0 0H9V9' fill='none' stroke='#000' stroke-width='-0.0003937'/>", "ART111")]
    public void What_was_not_honoured_is_said(string body, string code) =>
        Assert.Contains(Plots.Drawn(body).Diagnostics, d => d.Code == code && d.Severity != Severity.Error && d.Place.Line == 1);

    [Theory]
    [InlineData("<clipPath id='a' clip-path='url(#a)'><rect width='9' height='9'/></clipPath><rect width='5' height='5' clip-path='url(#a)'/>")]
    [InlineData("<clipPath id='a'><rect width='9' height='9' clip-path='url(#b)'/></clipPath><clipPath id='b' clip-path='url(#a)'><rect width='9' height='9'/></clipPath><rect width='5' height='5' clip-path='url(#a)'/>")]
    public void A_clipping_path_that_cuts_itself_leaves_nothing_and_says_so(string body)
    {
        var outcome = Plots.Drawn(body);
        Assert.Contains(outcome.Diagnostics, d => d.Code == "ART108" && d.Severity == Severity.Error);
        Assert.Empty(outcome.Value!.Islands);
    }

    [Fact]
    public void Selectors_of_many_steps_below_many_groups_end_soon()
    {
        var selector = string.Join(' ', Enumerable.Repeat("g", 28)) + " x g rect";
        var body = $"<style>{selector}{{fill:none}}</style>" + string.Concat(Enumerable.Repeat("<g>", 30)) + "<rect width='2' height='2'/>" + string.Concat(Enumerable.Repeat("</g>", 30));
        Assert.Equal(4, Plots.Area(body), 1e-9);
    }

    [Fact]
    public void Dashes_past_all_counting_are_taken_as_a_line()
    {
        var outcome = Plots.Drawn("<path d='M0 10H90' stroke='#000' stroke-dasharray='1e-300 1e-300' pathLength='1e-290'/>");
        Assert.Equal(["ART114"], outcome.Diagnostics.Select(d => d.Code));
        Assert.Equal(90, outcome.Value!.PaintedAreaMm2, 1e-9);
    }

    [Fact]
    public void A_place_counts_bytes_after_letters_of_several_bytes()
    {
        var svg = "<svg width='9mm' height='9mm' viewBox='0 0 9 9'><!-- µé漢😀 --><use href='#none'/></svg>";
        var fault = Plots.Read(svg).Diagnostics.Single(d => d.Code == "ART108");
        var bytes = Encoding.UTF8.GetBytes(svg);
        Assert.Equal(bytes.AsSpan().IndexOf("<use"u8) + 1, fault.Place.Column);
    }

    [Fact]
    public void Repeated_faults_are_counted_not_listed()
    {
        var body = string.Concat(Enumerable.Repeat("<rect width='x' height='1'/>", 500));
        var outcome = Plots.Drawn(body);
        Assert.Equal(101, outcome.Diagnostics.Length);
        Assert.Equal("ART118", outcome.Diagnostics[^1].Code);
    }

    [Fact]
    public void Damaged_plots_never_throw()
    {
        var sound = Encoding.UTF8.GetBytes(Plots.Root + "<style>.a{fill:none}</style><g transform='rotate(3)'><path d='M1 1a2 3 4 0 1 5 6c1 2 3 4 5 6z' stroke='#000'/><use href='#p'/></g><rect id='p' width='3' height='2' rx='1'/></svg>");
        Gen.Select(Gen.Int[0, sound.Length - 1].Array[1, 6], Gen.Byte.Array[6]).Check(
            (places, values) =>
            {
                var bytes = (byte[])sound.Clone();
                for (var i = 0; i < places.Length; i++)
                {
                    bytes[places[i]] = values[i];
                }

                Assert.NotNull(SvgReader.Read(new SourceText("x", bytes), ReadLimits.Default, CancellationToken.None));
            },
            iter: 300);
    }
}
