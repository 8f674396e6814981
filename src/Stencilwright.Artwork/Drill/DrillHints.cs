using System.Text;
using Stencilwright.Foundation;

namespace Stencilwright.Artwork.Drill;

/// <summary>What something other than the drill file says about its numbers; null where nothing is said.</summary>
public sealed record DrillHints
{
    // A list of names and values is short.
    private const int MostBytes = 64 * 1024;

    /// <summary>Nothing is said.</summary>
    public static DrillHints None { get; } = new();

    /// <summary>The unit.</summary>
    public ArtworkUnit? Unit { get; init; }

    /// <summary>Which zeros are written.</summary>
    public DrillZeros? Zeros { get; init; }

    /// <summary>Digits before and after the point.</summary>
    public (int Integers, int Decimals)? Digits { get; init; }

    /// <summary>True for coordinates that count from the last ones.</summary>
    public bool? IsIncremental { get; init; }

    /// <summary>The file that says so, for messages.</summary>
    public string From { get; init; } = "";

    /// <summary>Reads a list of the drill data's parameters, one name and value a line, that some exporters lay beside it.</summary>
    /// <returns>Null when the file is no such list.</returns>
    public static DrillHints? Read(SourceText source)
    {
        ArgumentNullException.ThrowIfNull(source);
        var bytes = source.Bytes.Span;
        if (bytes.Length > MostBytes || bytes.IndexOf("INTEGER-PLACES"u8) < 0 || bytes.IndexOf("DECIMAL-PLACES"u8) < 0)
        {
            return null;
        }

        var (integers, decimals) = (-1, -1);
        var (dropsLeading, dropsTrailing) = (false, false);
        var hints = new DrillHints { From = source.Name };
        foreach (var line in Encoding.Latin1.GetString(bytes).Split(['\r', '\n'], StringSplitOptions.RemoveEmptyEntries))
        {
            var words = line.Split([' ', '\t'], StringSplitOptions.RemoveEmptyEntries);
            if (words.Length < 2)
            {
                continue;
            }

            switch (words[0].ToUpperInvariant())
            {
                case "INTEGER-PLACES" when words[1] is [>= '0' and <= '9']:
                    integers = words[1][0] - '0';
                    break;
                case "DECIMAL-PLACES" when words[1] is [>= '0' and <= '9']:
                    decimals = words[1][0] - '0';
                    break;
                case "OUTPUT-UNITS":
                    hints = hints with { Unit = words[1].Equals("ENGLISH", StringComparison.OrdinalIgnoreCase) ? ArtworkUnit.Inch : ArtworkUnit.Millimetre };
                    break;
                case "COORDINATES":
                    hints = hints with { IsIncremental = words[1].Equals("INCREMENTAL", StringComparison.OrdinalIgnoreCase) };
                    break;
                case "SUPPRESS-LEAD-ZEROES":
                    dropsLeading = words[1].Equals("YES", StringComparison.OrdinalIgnoreCase);
                    break;
                case "SUPPRESS-TRAIL-ZEROES":
                    dropsTrailing = words[1].Equals("YES", StringComparison.OrdinalIgnoreCase);
                    break;
                default:
                    break;
            }
        }

        return hints with
        {
            Digits = integers < 0 || decimals < 0 ? null : (integers, decimals),
            Zeros = dropsTrailing ? DrillZeros.LeadingKept : dropsLeading ? DrillZeros.TrailingKept : null,
        };
    }
}
