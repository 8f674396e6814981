using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Boards.Checks;

/// <summary>Openings that share a fault, with the worst of them.</summary>
internal sealed class FaultGroup
{
    private readonly List<int> _openings = [];

    public int Count => _openings.Count;

    public ImmutableArray<int> Openings => [.. _openings];

    /// <summary>The opening with the largest measure; the first of equal ones.</summary>
    public int Worst { get; private set; } = -1;

    public double WorstMeasure { get; private set; } = double.NegativeInfinity;

    /// <summary>Adds an opening, ascending; one that was the last already only brings its measure.</summary>
    public void Add(int opening, double measure)
    {
        if (_openings.Count == 0 || _openings[^1] != opening)
        {
            _openings.Add(opening);
        }

        if (measure > WorstMeasure)
        {
            (Worst, WorstMeasure) = (opening, measure);
        }
    }
}

/// <summary>Collects findings.</summary>
internal sealed class CheckWriter
{
    private readonly List<CheckFinding> _findings = [];

    public ImmutableArray<CheckFinding> ToImmutable() => [.. _findings];

    /// <summary>About a group of openings, placed at the worst of them.</summary>
    public void Add(string code, Severity severity, SideView side, FaultGroup group, string message)
    {
        var opening = side.Openings[group.Worst];
        var at = opening.Shape.Bounds.Center;
        _findings.Add(new CheckFinding(
            new Finding
            {
                Code = code,
                Severity = severity,
                Message = message,
                XMm = Math.Round(at.X, 4),
                YMm = Math.Round(at.Y, 4),
                Source = opening.Place,
            },
            group.Openings));
    }

    /// <summary>About a whole file, or nothing in particular.</summary>
    public void Add(string code, Severity severity, string? file, string message, Point2? at = null) => _findings.Add(new CheckFinding(
        new Finding
        {
            Code = code,
            Severity = severity,
            Message = message,
            XMm = at is { } p ? Math.Round(p.X, 4) : null,
            YMm = at is { } q ? Math.Round(q.Y, 4) : null,
            Source = file is null ? null : SourcePlace.Whole(file),
        },
        []));

    /// <summary>"1 opening lies" or "3 openings lie".</summary>
    public static string Openings(int count, string one, string many) =>
        string.Create(CultureInfo.InvariantCulture, $"{count} {(count == 1 ? "opening " + one : "openings " + many)}");

    public static string Percent(double share) => string.Create(CultureInfo.InvariantCulture, $"{100 * share:0} %");
}
