using Stencilwright.Cutting;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Output.Machine;

/// <summary>G-code being written for one machine: coordinates come in millimetres and go out in the file's unit.</summary>
internal sealed class GcodeFile
{
    // A belly below 0.1 µm is cut as a line: the centre would lie so far away that rounding it matters more.
    private const double FlatSagittaMm = 1e-4;

    // Where it turns by more than what passes for smooth at joints, an arc stays one however small: a machine stops at the corners between lines.
    private const double FlatTurnRad = 0.0173;

    // Below this many of the last decimal the ends' own rounding turns it further.
    private const double LeastSteps = 20;
    private const int MostDecimals = 6;

    private readonly PlainText _text = new(64 * 1024);
    private readonly JobSettings _settings;
    private readonly double _perMm;
    private readonly int _decimals;
    private readonly int _feedDecimals;
    private readonly string _off;

    public GcodeFile(JobSettings settings)
    {
        _settings = settings;
        var isInch = settings.GcodeUnits == "inch";
        _perMm = isInch ? 1 / Lengths.MillimetresPerInch : 1;

        // Two decimals more than make up for the longer unit.
        _decimals = Math.Clamp((int)Math.Round(settings.GcodeDecimals) + (isInch ? 2 : 0), 1, MostDecimals);
        _feedDecimals = isInch ? 5 : 3;
        _off = Word(settings.GcodeBeamOff);
    }

    // Brackets would end the comment, and a percent sign marks the end of the tape in ISO 6983.
    public void Comment(string words) => _text.Add('(').Add(PlainText.Ascii(words, "()%;", 90)).Add(")\n");

    /// <summary>The unit, the user's own lines, and beam off before anything moves.</summary>
    public void Begin()
    {
        _text.Add(_settings.GcodeUnits == "inch" ? "G20\n" : "G21\n");
        Own(_settings.GcodePreamble);
        BeamOff();
    }

    public byte[] End()
    {
        Own(_settings.GcodeEnding);
        return _text.ToBytes();
    }

    public void Travel(Point2 to)
    {
        Position(_text.Add("G0"), InUnits(to));
        _text.Add('\n');
    }

    public void BeamOn(string word, double powerPercent) =>
        _text.Add(Word(word)).Add(" S").Add(powerPercent / 100 * _settings.GcodeFullPower, 3).Add('\n');

    public void BeamOff() => _text.Add(_off).Add('\n');

    /// <summary>Moves along a path, from its start, where the machine is already.</summary>
    public void Follow(CutPath path, double speedMmS)
    {
        var at = InUnits(path.Start);
        double? feed = speedMmS * 60 * _perMm;
        for (var i = 0; i < path.SegmentCount; i++)
        {
            var to = InUnits(path.SegmentAt(i).End);
            var segment = new Segment(at, to, path.Vertices[i].Bulge);
            if (IsFlat(segment))
            {
                Position(_text.Add("G1"), to);
                EndMove(ref feed);
            }
            else if (_settings.GcodeArcs)
            {
                var center = segment.Center;
                Position(_text.Add(segment.Bulge > 0 ? "G3" : "G2"), to);
                _text.Add(" I").Add(center.X - at.X, _decimals).Add(" J").Add(center.Y - at.Y, _decimals);
                EndMove(ref feed);
            }
            else
            {
                Chords(segment, ref feed);
            }

            at = to;
        }
    }

    private bool IsFlat(in Segment segment)
    {
        var chord = segment.Chord.Length;
        return Math.Abs(segment.Bulge) * chord / 2 < FlatSagittaMm * _perMm
            && (4 * Math.Atan(Math.Abs(segment.Bulge)) < FlatTurnRad || chord < LeastSteps * Math.Pow(10, -_decimals));
    }

    private void Chords(Segment arc, ref double? feed)
    {
        var count = ShortLines.Count(arc.Radius, arc.SweepRad, _settings.GcodeChordErrorMm * _perMm);
        for (var k = 1; k <= count; k++)
        {
            Position(_text.Add("G1"), k == count ? arc.End : Round(arc.PointAt((double)k / count)));
            EndMove(ref feed);
        }
    }

    private void EndMove(ref double? feed)
    {
        if (feed is { } first)
        {
            _text.Add(" F").Add(first, _feedDecimals);
            feed = null;
        }

        _text.Add('\n');
    }

    private void Position(PlainText text, Point2 p) => text.Add(" X").Add(p.X, _decimals).Add(" Y").Add(p.Y, _decimals);

    private Point2 InUnits(Point2 p) => Round(new(p.X * _perMm, p.Y * _perMm));

    private Point2 Round(Point2 p) => new(Math.Round(p.X, _decimals), Math.Round(p.Y, _decimals));

    private void Own(string lines)
    {
        foreach (var line in ControllerLines.Of(lines))
        {
            _text.Add(PlainText.Ascii(line, "%", 200)).Add('\n');
        }
    }

    private static string Word(string setting) => PlainText.Ascii(setting, "()%;");
}
