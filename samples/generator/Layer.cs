using System.Globalization;
using System.Text;

namespace Stencilwright.Samples;

/// <summary>Writes one layer as Gerber with X2 attributes, format 4.6, millimetres.</summary>
internal sealed class Layer
{
    private readonly StringBuilder _head = new();
    private readonly StringBuilder _body = new();
    private readonly Dictionary<string, int> _apertures = new(StringComparer.Ordinal);
    private int _selected;
    private string _object = "";
    private bool _usesRoundRectangle;

    public Layer(string fileFunction, string polarity, string part)
    {
        FileFunction = fileFunction;
        _head.Append("G04 Invented sample board of Stencilwright*\n");
        _head.Append("%TF.GenerationSoftware,Stencilwright,Samples,1*%\n");
        _head.Append(CultureInfo.InvariantCulture, $"%TF.Part,Single*%\n%TF.FileFunction,{fileFunction}*%\n");
        if (polarity.Length > 0)
        {
            _head.Append(CultureInfo.InvariantCulture, $"%TF.FilePolarity,{polarity}*%\n");
        }

        _head.Append(CultureInfo.InvariantCulture, $"%TF.ProjectId,{part},{part},1*%\n");
        _head.Append("%TF.SameCoordinates,Origin*%\n%FSLAX46Y46*%\n%MOMM*%\nG01*\n%LPD*%\n");
    }

    public string FileFunction { get; }

    /// <summary>Names the pad of the objects that follow; null ends it.</summary>
    public void Pad(string? component, string pin = "")
    {
        var now = component is null ? "" : $"{component},{pin}";
        if (now == _object)
        {
            return;
        }

        // A pin is an attribute of the pad, a component one of everything drawn for it.
        _body.Append(now.Length == 0 ? "%TD*%\n" : $"%TO.P,{now}*%\n%TO.C,{component}*%\n");
        _object = now;
    }

    public void Circle(double x, double y, double diameter, string function) => Flash(x, y, $"C,{Mm(diameter)}", function);

    public void Rectangle(double x, double y, double width, double height, string function) =>
        Flash(x, y, $"R,{Mm(width)}X{Mm(height)}", function);

    public void Obround(double x, double y, double width, double height, string function) =>
        Flash(x, y, $"O,{Mm(width)}X{Mm(height)}", function);

    /// <summary>A rectangle with rounded corners, turned counter-clockwise: by macro, as pads with rounding are commonly plotted.</summary>
    public void RoundRectangle(double x, double y, double width, double height, double radius, double degrees, string function)
    {
        _usesRoundRectangle = true;
        Flash(x, y, $"ROUNDED,{Mm(width)}X{Mm(height)}X{Mm(radius)}X{Mm(degrees)}", function);
    }

    /// <summary>A filled polygon.</summary>
    public void Area(ReadOnlySpan<(double X, double Y)> corners)
    {
        _body.Append("G36*\n");
        Move(corners[0].X, corners[0].Y);
        foreach (var (x, y) in corners[1..])
        {
            Draw(x, y);
        }

        Draw(corners[0].X, corners[0].Y);
        _body.Append("G37*\n");
    }

    public void Pen(double width, string function) => Select($"C,{Mm(width)}", function);

    public void Move(double x, double y) => _body.Append(CultureInfo.InvariantCulture, $"X{Um(x)}Y{Um(y)}D02*\n");

    public void Draw(double x, double y) => _body.Append(CultureInfo.InvariantCulture, $"X{Um(x)}Y{Um(y)}D01*\n");

    /// <summary>An arc from the current point, counter-clockwise when asked, with the centre's distance from the start.</summary>
    public void Arc(double x, double y, double i, double j, bool counterClockwise)
    {
        _body.Append(counterClockwise ? "G75*\nG03*\n" : "G75*\nG02*\n");
        _body.Append(CultureInfo.InvariantCulture, $"X{Um(x)}Y{Um(y)}I{Um(i)}J{Um(j)}D01*\nG01*\n");
    }

    public byte[] ToBytes()
    {
        Pad(null);
        var text = new StringBuilder().Append(_head);
        if (_usesRoundRectangle)
        {
            // 1 width, 2 height, 3 corner radius, 4 turn.
            text.Append("%AMROUNDED*\n");
            text.Append("21,1,$1-$3-$3,$2,0,0,$4*\n21,1,$1,$2-$3-$3,0,0,$4*\n");
            text.Append("1,1,$3+$3,$1/2-$3,$2/2-$3,$4*\n1,1,$3+$3,$3-$1/2,$2/2-$3,$4*\n");
            text.Append("1,1,$3+$3,$3-$1/2,$3-$2/2,$4*\n1,1,$3+$3,$1/2-$3,$3-$2/2,$4*%\n");
        }

        foreach (var (key, code) in _apertures)
        {
            var parts = key.Split('|');
            text.Append(parts[1].Length == 0 ? "" : $"%TA.AperFunction,{parts[1]}*%\n");
            text.Append(CultureInfo.InvariantCulture, $"%ADD{code}{parts[0]}*%\n");
            text.Append(parts[1].Length == 0 ? "" : "%TD*%\n");
        }

        return Encoding.ASCII.GetBytes(text.Append(_body).Append("M02*\n").ToString());
    }

    private void Flash(double x, double y, string aperture, string function)
    {
        Select(aperture, function);
        _body.Append(CultureInfo.InvariantCulture, $"X{Um(x)}Y{Um(y)}D03*\n");
    }

    private void Select(string aperture, string function)
    {
        var key = $"{aperture}|{function}";
        if (!_apertures.TryGetValue(key, out var code))
        {
            code = 10 + _apertures.Count;
            _apertures.Add(key, code);
        }

        if (code != _selected)
        {
            _body.Append(CultureInfo.InvariantCulture, $"D{code}*\n");
            _selected = code;
        }
    }

    private static string Mm(double value) => value.ToString("0.0#####", CultureInfo.InvariantCulture);

    // Format 4.6: six decimals, so nanometres.
    private static string Um(double value) => ((long)Math.Round(value * 1e6, MidpointRounding.AwayFromZero)).ToString(CultureInfo.InvariantCulture);
}
