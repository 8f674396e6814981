using Stencilwright.Geometry;
using Xunit;

namespace Stencilwright.Design.Tests;

public sealed class StrokeFontTests
{
    private const string Alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789.,:;-–_+=*×/\\|()[]<>!?'\"#%&°µ↑";

    [Fact]
    public void Every_character_of_the_alphabet_has_a_drawing_of_its_own()
    {
        var box = Describe("\u2603");
        Assert.All(Alphabet, letter => Assert.True(StrokeFont.Knows(letter), letter.ToString()));
        Assert.All(Alphabet, letter => Assert.NotEqual(box, Describe(letter.ToString())));
        Assert.Equal(Alphabet.Length, Alphabet.Select(letter => Describe(letter.ToString())).Distinct().Count());
    }

    [Fact]
    public void An_unknown_character_becomes_a_box()
    {
        Assert.False(StrokeFont.Knows('\u2603'));
        var stroke = Assert.Single(StrokeFont.Strokes("\u2603", 6));
        Assert.Equal(stroke.Vertices[0], stroke.Vertices[^1]);
        Assert.Equal(5, stroke.Vertices.Length);
    }

    [Fact]
    public void Letters_stay_inside_the_width_that_is_told_and_capitals_have_the_height_asked_for()
    {
        foreach (var letter in "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789")
        {
            var box = BoundsOf(letter.ToString(), 2.5);
            Assert.InRange(box.MinX, -1e-9, 1e-9);
            Assert.Equal(StrokeFont.WidthMm(letter.ToString(), 2.5), box.MaxX, 9);
            Assert.InRange(box.MinY, -1e-9, 1e-9);
            Assert.Equal(2.5, box.MaxY, 9);
        }
    }

    [Fact]
    public void Small_letters_are_written_as_capitals() => Assert.Equal(Describe("ABC XYZ"), Describe("abc xyz"));

    private static Bounds2 BoundsOf(string text, double height)
    {
        var box = Bounds2.Empty;
        foreach (var stroke in StrokeFont.Strokes(text, height))
        {
            for (var i = 0; i < stroke.SegmentCount; i++)
            {
                box = Bounds2.Union(box, stroke.SegmentAt(i).Bounds);
            }
        }

        return box;
    }

    private static string Describe(string text) =>
        string.Join('|', StrokeFont.Strokes(text, 6).Select(s => string.Join(' ', s.Vertices.ToArray())));
}
