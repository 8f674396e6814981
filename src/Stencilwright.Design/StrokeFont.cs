using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Geometry;

namespace Stencilwright.Design;

/// <summary>Writes text as single pen strokes of lines and arcs, for scoring into a sheet.</summary>
/// <remarks>
/// Letters are drawn on a grid where a capital is 6 units high. Small letters are written as capitals: scored text is
/// 1 to 3 mm high, where small letters are hard to read. A character without a drawing becomes a box.
/// </remarks>
public static class StrokeFont
{
    private const double CapHeight = 6;
    private const double Gap = 1.6;
    private const double SpaceWidth = 3;

    // tan(90°/4) and a shallow arc for brackets.
    private const double Quarter = 0.41421356237309503;
    private const double Shallow = 0.25;

    private const string Box = "0,0 4,0 4,6 0,6 0,0";

    // Strokes are parted by '|', vertices by spaces. A sign behind a vertex bends the segment that leaves it:
    // '(' a quarter turn counter-clockwise, ')' clockwise; '<' half a turn counter-clockwise, '>' clockwise;
    // '{' and '}' shallow.
    private static readonly (char Letter, string Drawing)[] _drawings =
    [
        ('A', "0,0 2,6 4,0|0.67,2 3.33,2"),
        ('B', "0,0 0,6 2.5,6> 2.5,3 0,3|2.5,3> 2.5,0 0,0"),
        ('C', "4,4< 0,4 0,2< 4,2"),
        ('D', "0,0 0,6 2,6) 4,4 4,2) 2,0 0,0"),
        ('E', "4,0 0,0 0,6 4,6|0,3 3,3"),
        ('F', "0,0 0,6 4,6|0,3 3,3"),
        ('G', "4,4< 0,4 0,2< 4,2 4,3 2.5,3"),
        ('H', "0,0 0,6|4,0 4,6|0,3 4,3"),
        ('I', "0,0 2,0|1,0 1,6|0,6 2,6"),
        ('J', "4,6 4,2> 0,2"),
        ('K', "0,0 0,6|4,6 0,2.5|1.3,3.64 4,0"),
        ('L', "0,6 0,0 4,0"),
        ('M', "0,0 0,6 2.5,2 5,6 5,0"),
        ('N', "0,0 0,6 4,0 4,6"),
        ('O', "0,2 0,4> 4,4 4,2> 0,2"),
        ('P', "0,0 0,6 2.5,6> 2.5,3 0,3"),
        ('Q', "0,2 0,4> 4,4 4,2> 0,2|2.5,1.5 4,0"),
        ('R', "0,0 0,6 2.5,6> 2.5,3 0,3|2.2,3 4,0"),
        ('S', "4,4.5( 2.5,6 1.5,6< 1.5,3 2.5,3> 2.5,0 1.5,0) 0,1.5"),
        ('T', "2,0 2,6|0,6 4,6"),
        ('U', "0,6 0,2< 4,2 4,6"),
        ('V', "0,6 2,0 4,6"),
        ('W', "0,6 1.25,0 2.5,5 3.75,0 5,6"),
        ('X', "0,0 4,6|0,6 4,0"),
        ('Y', "0,6 2,3 4,6|2,3 2,0"),
        ('Z', "0,6 4,6 0,0 4,0"),
        ('0', "0,2 0,4> 4,4 4,2> 0,2|0.9,1.7 3.1,4.3"),
        ('1', "0,4.5 1.5,6 1.5,0|0,0 3,0"),
        ('2', "0,4> 4,4 0,0 4,0"),
        ('3', "0,6 2.5,6> 2.5,3 1,3|2.5,3> 2.5,0 0,0"),
        ('4', "3,0 3,6 0,2 4,2"),
        ('5', "4,6 0,6 0,3.5 2.25,3.5> 2.25,0 0,0"),
        ('6', "4,6( 0,2< 4,2< 0,2"),
        ('7', "0,6 4,6 1.5,0"),
        ('8', "2,3.2< 2,6< 2,3.2|2,0< 2,3.2< 2,0"),
        ('9', "0,0( 4,4< 0,4< 4,4"),
        ('.', "0,0.2< 0.4,0.2< 0,0.2"),
        (',', "0.6,0.5 0,-1"),
        (':', "0,1.2< 0.4,1.2< 0,1.2|0,4.2< 0.4,4.2< 0,4.2"),
        (';', "0.6,1.5 0,0|0.4,4.2< 0.8,4.2< 0.4,4.2"),
        ('-', "0,3 3,3"),
        ('–', "0,3 4,3"),
        ('_', "0,-0.5 4,-0.5"),
        ('+', "0,3 4,3|2,1 2,5"),
        ('=', "0,2 4,2|0,4 4,4"),
        ('*', "0,2 3,5|0,5 3,2|1.5,1.5 1.5,5.5"),
        ('×', "0,1.5 3,4.5|0,4.5 3,1.5"),
        ('/', "0,0 3,6"),
        ('\\', "0,6 3,0"),
        ('|', "0,-0.5 0,6.5"),
        ('(', "1.5,6.5{ 1.5,-0.5"),
        (')', "0,6.5} 0,-0.5"),
        ('[', "1.5,6.5 0,6.5 0,-0.5 1.5,-0.5"),
        (']', "0,6.5 1.5,6.5 1.5,-0.5 0,-0.5"),
        ('<', "3,5 0,3 3,1"),
        ('>', "0,5 3,3 0,1"),
        ('!', "0.2,6 0.2,1.6|0,0.2< 0.4,0.2< 0,0.2"),
        ('?', "0,4.5) 1.5,6> 1.5,3 1.5,1.6|1.3,0.2< 1.7,0.2< 1.3,0.2"),
        ('\'', "0,6 0,4.5"),
        ('"', "0,6 0,4.5|1.2,6 1.2,4.5"),
        ('#', "0.8,0 1.6,6|2.4,0 3.2,6|0,2 4,2|0,4 4,4"),
        ('%', "0,0 4,6|0,5< 1.6,5< 0,5|2.4,1< 4,1< 2.4,1"),
        ('&', "4,0 1,4.4( 1.9,6) 2.7,4.9 0.6,2.6< 2,0 4,2.5"),
        ('°', "0,5.2< 1.6,5.2< 0,5.2"),
        ('µ', "0,-1.5 0,4|0,1.5< 3,1.5 3,4|3,1.5 3,0"),
        ('μ', "0,-1.5 0,4|0,1.5< 3,1.5 3,4|3,1.5 3,0"),
        ('↑', "1.5,0 1.5,6|0,4 1.5,6 3,4"),
    ];

    private static readonly Dictionary<char, Glyph> _glyphs = [];
    private static readonly Lock _gate = new();

    /// <summary>The strokes of one line of text whose baseline starts at the origin and runs along x.</summary>
    /// <param name="text">Any text; characters without a drawing become boxes.</param>
    /// <param name="heightMm">Height of a capital, millimetres.</param>
    public static ImmutableArray<OpenPath> Strokes(string text, double heightMm)
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(heightMm);
        var strokes = ImmutableArray.CreateBuilder<OpenPath>();
        var scale = heightMm / CapHeight;
        var x = 0.0;
        foreach (var letter in text)
        {
            if (letter == ' ')
            {
                x += SpaceWidth + Gap;
                continue;
            }

            var glyph = Find(letter);
            foreach (var stroke in glyph.Strokes)
            {
                strokes.Add(stroke.Map(Affine2.Scale(scale, scale) * Affine2.Translation(x, 0)));
            }

            x += glyph.Width + Gap;
        }

        return strokes.ToImmutable();
    }

    /// <summary>Width of one line of text without a gap behind its last letter, millimetres.</summary>
    public static double WidthMm(string text, double heightMm)
    {
        ArgumentNullException.ThrowIfNull(text);
        var units = 0.0;
        foreach (var letter in text)
        {
            units += (letter == ' ' ? SpaceWidth : Find(letter).Width) + Gap;
        }

        return Math.Max(0, units - Gap) * heightMm / CapHeight;
    }

    /// <summary>Whether a character has a drawing of its own (or is a space).</summary>
    public static bool Knows(char letter) => letter == ' ' || DrawingOf(letter) is not null;

    // Moves a pen's path; mirroring maps turn its bends round.
    internal static OpenPath Map(this OpenPath path, Affine2 map)
    {
        var sign = map.Determinant < 0 ? -1 : 1;
        var vertices = new PathVertex[path.Vertices.Length];
        for (var i = 0; i < vertices.Length; i++)
        {
            var from = path.Vertices[i];
            var p = map.Apply(from.Point);
            vertices[i] = new(p.X, p.Y, sign * from.Bulge);
        }

        return new OpenPath(vertices);
    }

    private static string? DrawingOf(char letter)
    {
        foreach (var (known, drawing) in _drawings)
        {
            if (known == letter)
            {
                return drawing;
            }
        }

        var capital = char.ToUpperInvariant(letter);
        return capital == letter || letter == 'µ' ? null : DrawingOf(capital);
    }

    private static Glyph Find(char letter)
    {
        lock (_gate)
        {
            if (!_glyphs.TryGetValue(letter, out var glyph))
            {
                glyph = Parse(DrawingOf(letter) ?? Box);
                _glyphs.Add(letter, glyph);
            }

            return glyph;
        }
    }

    private static Glyph Parse(string drawing)
    {
        var strokes = ImmutableArray.CreateBuilder<OpenPath>();
        var width = 0.0;
        foreach (var stroke in drawing.Split('|'))
        {
            var words = stroke.Split(' ');
            var vertices = new PathVertex[words.Length];
            for (var i = 0; i < words.Length; i++)
            {
                vertices[i] = ParseVertex(words[i]);
            }

            var path = new OpenPath(vertices);
            for (var i = 0; i < path.SegmentCount; i++)
            {
                width = Math.Max(width, path.SegmentAt(i).Bounds.MaxX);
            }

            strokes.Add(path);
        }

        return new Glyph(strokes.ToImmutable(), width);
    }

    private static PathVertex ParseVertex(string word)
    {
        var bulge = word[^1] switch
        {
            '(' => Quarter,
            ')' => -Quarter,
            '<' => 1,
            '>' => -1,
            '{' => Shallow,
            '}' => -Shallow,
            _ => 0,
        };
        var numbers = bulge == 0 ? word : word[..^1];
        var comma = numbers.IndexOf(',', StringComparison.Ordinal);
        return new(
            double.Parse(numbers.AsSpan(0, comma), CultureInfo.InvariantCulture),
            double.Parse(numbers.AsSpan(comma + 1), CultureInfo.InvariantCulture),
            bulge);
    }

    private sealed record Glyph(ImmutableArray<OpenPath> Strokes, double Width);
}
