using SkiaSharp;
using Stencilwright.Foundation;
using Stencilwright.Output.Drawing;

namespace Stencilwright.Output.Tests;

/// <summary>Colours against WCAG 2.2, and verdicts as people see them who see colours differently.</summary>
public sealed class PaletteTests
{
    // Machado, Oliveira and Fernandes, "A physiologically-based model for simulation of color vision deficiency", IEEE
    // TVCG 15 (6), 2009, severity 1.0, on linear RGB (matrices from memory); and luminance alone.
    private static readonly (string Name, double[] Matrix)[] Eyes =
    [
        ("protanopia", [0.152286, 1.052583, -0.204868, 0.114503, 0.786281, 0.099216, -0.003882, -0.048116, 1.051998]),
        ("deuteranopia", [0.367322, 0.860646, -0.227968, 0.280085, 0.672501, 0.047413, -0.011820, 0.042940, 0.968881]),
        ("tritanopia", [1.255528, -0.076749, -0.178779, -0.078411, 0.930809, 0.147602, 0.004733, 0.691367, 0.303900]),
        ("no colours", [0.2126, 0.7152, 0.0722, 0.2126, 0.7152, 0.0722, 0.2126, 0.7152, 0.0722]),
    ];

    private static SKColor FilmOn(SKColor ground)
    {
        byte Mix(byte film, byte below) => (byte)Math.Round(below + ((film - below) * Ink.Film.Alpha / 255.0));
        return new(Mix(Ink.Film.Red, ground.Red), Mix(Ink.Film.Green, ground.Green), Mix(Ink.Film.Blue, ground.Blue));
    }

    // Two values that W3C's "Understanding SC 1.4.3" and every textbook give: 21 : 1 for black on white, 1 : 1 for alike;
    // #767676 on white is the lightest grey that reaches 4.5 : 1.
    [Fact]
    public void The_formula_is_the_standard_s()
    {
        Assert.Equal(21, Contrast(SKColors.Black, SKColors.White), 1e-9);
        Assert.Equal(1, Contrast(Ink.Line, Ink.Line), 1e-9);
        Assert.True(Contrast(new(0x76, 0x76, 0x76), SKColors.White) >= 4.5);
        Assert.True(Contrast(new(0x77, 0x77, 0x77), SKColors.White) < 4.5);
    }

    // WCAG 2.2, success criterion 1.4.3: 4.5 : 1 for text.
    [Fact]
    public void Words_can_be_read_on_paper()
    {
        foreach (var (name, ink) in new[] { ("line", Ink.Line), ("quiet", Ink.Quiet), ("marginal", Ink.Marginal), ("will not print", Ink.WillNotPrint), ("accent", Ink.Accent) })
        {
            foreach (var ground in new[] { Ink.Paper, Ink.White })
            {
                Assert.True(Contrast(ink, ground) >= 4.5, $"{name} on {ground}: {Contrast(ink, ground):0.00}");
            }
        }
    }

    // WCAG 2.2, success criterion 1.4.11: 3 : 1 for graphics that are needed to understand.
    [Fact]
    public void Lines_and_hatches_stand_out_from_paper_and_film()
    {
        foreach (var (name, ink) in new[]
        {
            ("line", Ink.Line), ("quiet", Ink.Quiet), ("board", Ink.Board), ("frame", Ink.Frame), ("score", Ink.Score),
            ("marginal", Ink.Marginal), ("will not print", Ink.WillNotPrint), ("accent", Ink.Accent),
        })
        {
            foreach (var ground in new[] { Ink.Paper, Ink.White, FilmOn(Ink.Paper), FilmOn(Ink.White) })
            {
                Assert.True(Contrast(ink, ground) >= 3, $"{name} on {ground}: {Contrast(ink, ground):0.00}");
            }
        }
    }

    [Fact]
    public void The_pens_of_the_cut_files_stand_out_from_a_white_page()
    {
        foreach (var pen in new[] { SvgPens.Default.Cut, SvgPens.Default.Score, SvgPens.Default.FrameCut, SvgPens.Default.Blank })
        {
            Assert.True(Contrast(SKColor.Parse(pen), SKColors.White) >= 3, pen);
        }
    }

    // The share of a hatched opening that is inked tells the verdicts apart, whatever the colours look like.
    [Fact]
    public void Verdicts_differ_by_pattern_to_every_eye()
    {
        foreach (var (name, matrix) in Eyes)
        {
            var shares = Enum.GetValues<Verdict>().Select(v => InkedShare(pad => SheetDrawing.Sample(pad, new SKRect(2, 2, 10, 6), v, Ink.Paper), new SKRect(3, 3, 9, 5), matrix)).ToArray();
            Assert.True(shares[(int)Verdict.Prints] < 0.001, $"{name}: a plain opening is plain");
            Assert.InRange(shares[(int)Verdict.Marginal], 0.05, 0.5);
            Assert.True(shares[(int)Verdict.WillNotPrint] > 1.4 * shares[(int)Verdict.Marginal], $"{name}: crossed hatching is denser");
        }
    }

    [Fact]
    public void Openings_too_small_to_hatch_differ_by_form_to_every_eye()
    {
        foreach (var (name, matrix) in Eyes)
        {
            double Share(Verdict verdict, SKRect within) => InkedShare(
                pad =>
                {
                    using var builder = new SKPathBuilder();
                    builder.AddRect(new SKRect(4, 4, 4.6f, 4.6f));
                    using var path = builder.Detach();
                    SheetDrawing.SmallMarks(pad, path, verdict, Ink.Paper);
                },
                within,
                matrix);
            var heart = new SKRect(4.2f, 4.2f, 4.4f, 4.4f);
            var around = new SKRect(4.0f, 3.8f, 4.6f, 3.88f);
            Assert.True(Share(Verdict.Prints, heart) > 0.95, name);
            Assert.True(Share(Verdict.Marginal, heart) < 0.1, name);
            Assert.True(Share(Verdict.WillNotPrint, heart) > 0.95, name);
            Assert.True(Share(Verdict.Prints, around) < 0.05, name);
            Assert.True(Share(Verdict.WillNotPrint, around) > 0.8, name);
        }
    }

    private static double InkedShare(Action<Pad> draw, SKRect within, double[] matrix)
    {
        const int scale = 50;
        using var bitmap = new SKBitmap(new SKImageInfo(12 * scale, 8 * scale, SKColorType.Rgba8888, SKAlphaType.Opaque));
        using var canvas = new SKCanvas(bitmap);
        canvas.Clear(Ink.Paper);
        canvas.Scale(scale);
        using (var pad = new Pad(canvas))
        {
            draw(pad);
        }

        canvas.Flush();
        var (inked, all) = (0, 0);
        var paper = Luminance(Ink.Paper, matrix);
        for (var x = (int)(within.Left * scale); x < within.Right * scale; x++)
        {
            for (var y = (int)(within.Top * scale); y < within.Bottom * scale; y++)
            {
                all++;
                inked += (paper + 0.05) / (Luminance(bitmap.GetPixel(x, y), matrix) + 0.05) >= 3 ? 1 : 0;
            }
        }

        return (double)inked / all;
    }

    private static double Contrast(SKColor a, SKColor b)
    {
        var (p, q) = (Luminance(a, null), Luminance(b, null));
        return (Math.Max(p, q) + 0.05) / (Math.Min(p, q) + 0.05);
    }

    // Relative luminance as WCAG 2.2 defines it (W3C, 2023), of the colour as an eye sees it.
    private static double Luminance(SKColor colour, double[]? eye)
    {
        double[] c = [Linear(colour.Red), Linear(colour.Green), Linear(colour.Blue)];
        if (eye is not null)
        {
            c = [.. Enumerable.Range(0, 3).Select(i => Math.Clamp((eye[3 * i] * c[0]) + (eye[(3 * i) + 1] * c[1]) + (eye[(3 * i) + 2] * c[2]), 0, 1))];
        }

        return (0.2126 * c[0]) + (0.7152 * c[1]) + (0.0722 * c[2]);

        static double Linear(byte value) => value / 255.0 is var v && v <= 0.04045 ? v / 12.92 : Math.Pow((v + 0.055) / 1.055, 2.4);
    }
}
