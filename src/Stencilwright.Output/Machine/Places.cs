using System.Collections.Immutable;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Output.Machine;

/// <summary>Reads points that a person wrote into a setting.</summary>
public static class Places
{
    // Far beyond any bed, near enough that no number in a file loses its micrometres.
    private const double FarthestMm = 100_000;

    /// <summary>Reads a number of points such as <c>5,5 96.6,5</c> or <c>[[0.5in, 0], [4in, 0]]</c>, millimetres unless a unit says otherwise.</summary>
    /// <param name="text">Coordinates with commas, blanks, semicolons or square brackets between, x before y.</param>
    /// <param name="count">How many points it must hold.</param>
    /// <param name="points">The points.</param>
    /// <returns>False when a number cannot be read or there are too few or too many.</returns>
    public static bool TryParse(string text, int count, out ImmutableArray<Point2> points)
    {
        ArgumentNullException.ThrowIfNull(text);
        points = [];
        var words = text.Split([',', ';', ' ', '\t', '[', ']'], StringSplitOptions.RemoveEmptyEntries);
        if (words.Length != 2 * count)
        {
            return false;
        }

        var read = ImmutableArray.CreateBuilder<Point2>(count);
        for (var i = 0; i < words.Length; i += 2)
        {
            if (!Lengths.TryParse(words[i], out var x) || !Lengths.TryParse(words[i + 1], out var y)
                || Math.Abs(x) > FarthestMm || Math.Abs(y) > FarthestMm)
            {
                return false;
            }

            read.Add(new(x, y));
        }

        points = read.MoveToImmutable();
        return true;
    }
}
