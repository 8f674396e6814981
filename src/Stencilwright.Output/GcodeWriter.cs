using Stencilwright.Cutting;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Output;

/// <summary>Writes the cut of a sheet as G-code: ISO 6983 words, millimetres, absolute, origin at the blank's lower left corner.</summary>
/// <remarks>
/// Arc centres (I, J) are relative to the arc's start, as most controllers take them, and are worked out from the rounded
/// ends, so that start and end radius agree within 0.02 µm at five decimals; interpreters refuse more than 0.002 mm.
/// Source: ISO 6983-1 and NISTIR 6556, section 3.5.3 (from memory).
/// </remarks>
public static class GcodeWriter
{
    private const int Decimals = 5;

    // A belly below 0.1 µm is cut as a line: the centre would lie so far away that rounding it matters more.
    private const double FlatSagittaMm = 1e-4;

    // Short lines stay this near to an arc: a tenth of what a small laser can place.
    private const double ChordErrorMm = 0.001;

    /// <summary>Writes a sheet.</summary>
    /// <param name="plan">The film or the frame.</param>
    /// <param name="title">Goes into a comment; what is not plain ASCII becomes a question mark.</param>
    /// <param name="settings">Beam words and the value of full power.</param>
    /// <exception cref="ArgumentException">A coordinate is not finite.</exception>
    public static byte[] Write(SheetPlan plan, string title, JobSettings settings)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(title);
        ArgumentNullException.ThrowIfNull(settings);
        var text = new PlainText(64 * 1024);
        var (on, off) = (Word(settings.GcodeBeamOn), Word(settings.GcodeBeamOff));
        Header(text, plan, title);
        text.Add("G21\nG90\nG17\n").Add(off).Add('\n');
        var scoring = false;
        foreach (var path in plan.Paths)
        {
            var isScore = path.Kind == CutKind.Score;
            if (isScore && !scoring)
            {
                text.Add("(Score marks)\n");
            }
            else if (!isScore && scoring)
            {
                text.Add("(Cuts)\n");
            }

            scoring = isScore;
            var power = path.PowerPercent ?? (isScore ? plan.ScorePowerPercent : plan.CutPowerPercent);
            var speed = path.SpeedMmS ?? (isScore ? plan.ScoreSpeedMmS : plan.CutSpeedMmS);
            var at = Round(path.Start);
            Position(text.Add("G0"), at);
            text.Add('\n').Add(on).Add(" S").Add(power / 100 * settings.GcodeFullPower, 3).Add('\n');
            Path(text, path, at, speed * 60, settings.GcodeArcs);
            text.Add(off).Add('\n');
        }

        text.Add("G0 X0 Y0\n").Add(off).Add("\nM2\n");
        return text.ToBytes();
    }

    private static void Header(PlainText text, SheetPlan plan, string title)
    {
        Comment(text, "Title: " + title);
        Comment(text, $"Sheet: {plan.Name}, blank {PlainText.Of(plan.Blank.WidthMm, 3)} x {PlainText.Of(plan.Blank.HeightMm, 3)} mm, thickness {PlainText.Of(plan.ThicknessMm, 4)} mm");
        Comment(text, $"Cut {PlainText.Of(plan.CutPowerPercent, 2)} percent at {PlainText.Of(plan.CutSpeedMmS, 2)} mm/s, score {PlainText.Of(plan.ScorePowerPercent, 2)} percent at {PlainText.Of(plan.ScoreSpeedMmS, 2)} mm/s");
        Comment(text, "Origin: lower left corner of the blank, x right, y away, millimetres");
        Comment(text, "CAUTION: keep the enclosure shut and its interlocks on");
        Comment(text, "CAUTION: stay beside the machine, extinguisher at hand, fumes led out of the room");
        Comment(text, plan.Name == "frame"
            ? "CAUTION: chipboard and paper burn, watch the cut to its end"
            : "CAUTION: only film known to be polyester, PVC and vinyl give off hydrogen chloride");
        Comment(text, "Local rules and the manual of the machine go first");
    }

    private static void Path(PlainText text, CutPath path, Point2 at, double feedMmMin, bool withArcs)
    {
        for (var i = 0; i < path.SegmentCount; i++)
        {
            var to = Round(path.SegmentAt(i).End);
            var segment = new Segment(at, to, path.Vertices[i].Bulge);
            if (Math.Abs(segment.Bulge) * segment.Chord.Length / 2 < FlatSagittaMm)
            {
                Position(text.Add("G1"), to);
            }
            else if (withArcs)
            {
                var center = segment.Center;
                Position(text.Add(segment.Bulge > 0 ? "G3" : "G2"), to);
                text.Add(" I").Add(center.X - at.X, Decimals).Add(" J").Add(center.Y - at.Y, Decimals);
            }
            else
            {
                Chords(text, segment, i == 0 ? feedMmMin : null);
                at = to;
                continue;
            }

            if (i == 0)
            {
                text.Add(" F").Add(feedMmMin, 3);
            }

            text.Add('\n');
            at = to;
        }
    }

    // n chords over an arc of sweep θ leave it by r(1 - cos(θ/2n)).
    private static void Chords(PlainText text, Segment arc, double? feedMmMin)
    {
        var half = Math.Acos(Math.Max(-1, 1 - (ChordErrorMm / arc.Radius)));
        var count = Math.Max(1, (int)Math.Ceiling(Math.Abs(arc.SweepRad) / (2 * half)));
        for (var k = 1; k <= count; k++)
        {
            Position(text.Add("G1"), Round(k == count ? arc.End : arc.PointAt((double)k / count)));
            if (k == 1 && feedMmMin is { } feed)
            {
                text.Add(" F").Add(feed, 3);
            }

            text.Add('\n');
        }
    }

    private static void Position(PlainText text, Point2 p) => text.Add(" X").Add(p.X, Decimals).Add(" Y").Add(p.Y, Decimals);

    private static Point2 Round(Point2 p) => new(Math.Round(p.X, Decimals), Math.Round(p.Y, Decimals));

    // Brackets would end the comment, and a percent sign marks the end of the tape in ISO 6983.
    private static void Comment(PlainText text, string words) =>
        text.Add('(').Add(PlainText.Ascii(words, "()%;", 90)).Add(")\n");

    private static string Word(string setting) => PlainText.Ascii(setting, "()%;");
}
