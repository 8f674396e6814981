using System.Globalization;
using SkiaSharp;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Output.Drawing;

/// <summary>A note on what will not print well, with the place it speaks of.</summary>
/// <param name="Name">The part, or the opening.</param>
/// <param name="Words">What is the matter.</param>
/// <param name="At">Place on the film, sheet millimetres.</param>
/// <param name="Verdict">The worst of its openings.</param>
internal sealed record Callout(string Name, string Words, Point2 At, Verdict Verdict);

/// <summary>Notes beside the large view with leader lines, one a part, the worst first when not all fit.</summary>
internal static class Callouts
{
    private const int Most = 9;
    private const double Height = 10;

    // About the size of a small part: larger squares would point at one place for several parts.
    private const double NeighbourhoodMm = 6;

    public static List<Callout> Of(JobSide side)
    {
        var groups = new Dictionary<string, Group>(StringComparer.Ordinal);
        var order = new List<Group>();
        foreach (var (i, opening) in side.Plan.Openings.Index())
        {
            if (opening.Verdict == Verdict.Prints)
            {
                continue;
            }

            var design = side.Design.Openings[i];
            var shape = opening.Shape.IsEmpty ? design.Design.Transform(side.Design.Placement.Map) : opening.Shape;
            Point2? at = shape.Bounds.IsEmpty ? null : shape.Bounds.Center;
            var key = design.Component is { Length: > 0 } component ? component : Neighbourhood(at, opening.Verdict);
            if (!groups.TryGetValue(key, out var group))
            {
                group = new(design.Component is { Length: > 0 } ? key : "near " + design.Id);
                groups.Add(key, group);
                order.Add(group);
            }

            group.Include(opening.Verdict, opening.AreaRatio, at);
        }

        var notes = new List<Callout>();
        foreach (var group in order.OrderByDescending(g => g.Worst).ThenBy(g => g.SmallestRatio))
        {
            if (notes.Count < Most && group.At is { } at)
            {
                notes.Add(new(group.Name, group.Words, at, group.Worst));
            }
        }

        return notes;
    }

    public static void Draw(Pad pad, SheetMap map, List<Callout> notes, SKRect shown, double left, double right, double top, double bottom)
    {
        notes.Sort((a, b) => b.At.Y.CompareTo(a.At.Y));
        var ys = Spread(notes.ConvertAll(n => map.Y(n.At.Y)), top, bottom);
        for (var i = 0; i < notes.Count; i++)
        {
            var (note, y) = (notes[i], ys[i]);
            var colour = note.Verdict == Verdict.WillNotPrint ? Ink.WillNotPrint : Ink.Marginal;
            var (x, placeY) = (map.X(note.At.X), map.Y(note.At.Y));
            pad.Dot(x, placeY, 0.55, colour);
            pad.Line(x, placeY, shown.Right + 1, y, colour, Weight.Hair);
            pad.Line(shown.Right + 1, y, left - 1, y, colour, Weight.Hair);
            pad.Text(note.Name, left, y + 0.4, 8.5, Ink.Line, bold: true, widest: right - left);
            var lineY = y + 3.9;
            foreach (var line in note.Words.Split('\n'))
            {
                pad.Text(line, left, lineY, 7, Ink.Line, widest: right - left);
                lineY += 3;
            }
        }
    }

    // Openings without a part's name share a note with their neighbours: they most likely serve one part.
    private static string Neighbourhood(Point2? at, Verdict verdict) => string.Create(
        CultureInfo.InvariantCulture,
        $" {verdict} {Math.Floor((at?.X ?? 0) / NeighbourhoodMm)} {Math.Floor((at?.Y ?? 0) / NeighbourhoodMm)}");

    // Pushes notes apart downwards, then the whole stack up where it runs over the end.
    private static List<double> Spread(List<double> wanted, double top, double bottom)
    {
        var ys = new List<double>(wanted);
        for (var i = 0; i < ys.Count; i++)
        {
            ys[i] = Math.Max(ys[i], i == 0 ? top : ys[i - 1] + Height);
        }

        for (var i = ys.Count - 1; i >= 0; i--)
        {
            ys[i] = Math.Min(ys[i], i == ys.Count - 1 ? bottom - Height : ys[i + 1] - Height);
        }

        return ys;
    }

    private sealed class Group(string name)
    {
        private int _marginal;
        private int _not;
        private Point2? _lastOfWorst;

        public string Name { get; } = name;

        public Verdict Worst => _not > 0 ? Verdict.WillNotPrint : Verdict.Marginal;

        public double SmallestRatio { get; private set; } = double.PositiveInfinity;

        public Point2? At => _lastOfWorst;

        public string Words
        {
            get
            {
                var count = _not > 0
                    ? string.Create(CultureInfo.InvariantCulture, $"{_not} will not print")
                    : string.Create(CultureInfo.InvariantCulture, $"{_marginal} marginal");
                return count + "\narea ratio " + (_not + _marginal > 1 ? "from " : "") + PlainText.Fixed(SmallestRatio, 2);
            }
        }

        public void Include(Verdict verdict, double ratio, Point2? at)
        {
            var isNot = verdict == Verdict.WillNotPrint;
            // The leader points at the worst opening, not at a middle where there may be none.
            if (at is not null && (_lastOfWorst is null || (isNot && _not == 0) || (isNot == _not > 0 && ratio < SmallestRatio)))
            {
                _lastOfWorst = at;
            }

            SmallestRatio = Math.Min(SmallestRatio, ratio);
            (_not, _marginal) = isNot ? (_not + 1, _marginal) : (_not, _marginal + 1);
        }
    }
}
