using SkiaSharp;
using Stencilwright.Cutting.Heat;
using Stencilwright.Geometry;

namespace Stencilwright.Output.Drawing;

/// <summary>A heat map as a surface to draw: temperatures everywhere, also where the film was cut away, and lines of equal temperature.</summary>
internal sealed class HeatField
{
    // The scale ends where film melts: along every cut it does.
    public const double TopC = FilmConditions.MeltC;

    // What was cut away takes the hottest value beside it, this many cells deep; deeper there is no film to show.
    private const int FillSteps = 4;

    private readonly HeatMap _map;
    private readonly float[] _celsius;

    public HeatField(HeatMap map)
    {
        _map = map;
        _celsius = Filled(map);
    }

    /// <summary>The share of the scale that a temperature stands for.</summary>
    public static double Share(double celsius) => (celsius - FilmConditions.RoomC) / (TopC - FilmConditions.RoomC);

    /// <summary>Draws the surface where the map lies.</summary>
    public void Draw(Pad pad, SheetMap map)
    {
        using var bitmap = new SKBitmap(new SKImageInfo(_map.Columns, _map.Rows, SKColorType.Rgba8888, SKAlphaType.Opaque));
        var pixels = new SKColor[_celsius.Length];
        for (var i = 0; i < pixels.Length; i++)
        {
            // Rows of a picture run down.
            var (row, column) = (i / _map.Columns, i % _map.Columns);
            pixels[((_map.Rows - 1 - row) * _map.Columns) + column] = QuantityScale.Of(Share(_celsius[i]));
        }

        bitmap.Pixels = pixels;
        using var image = SKImage.FromBitmap(bitmap);
        var box = map.Box(new(_map.Corner.X, _map.Corner.Y, _map.Corner.X + (_map.Columns * _map.CellMm), _map.Corner.Y + (_map.Rows * _map.CellMm)));
        pad.Canvas.DrawImage(image, box, new SKSamplingOptions(SKFilterMode.Linear));
    }

    /// <summary>Draws the line where the film reaches a temperature at its hottest moment.</summary>
    public void DrawLine(Pad pad, SheetMap map, double celsius, SKColor colour, float width, float[]? dash = null)
    {
        using var builder = new SKPathBuilder();
        for (var row = 0; row + 1 < _map.Rows; row++)
        {
            for (var column = 0; column + 1 < _map.Columns; column++)
            {
                AddCell(builder, map, column, row, celsius);
            }
        }

        using var path = builder.Detach();
        pad.Outline(path, colour, width, dash);
    }

    // Marching squares between the middles of four cells; the line cuts the sides where a straight rise reaches the level.
    private void AddCell(SKPathBuilder builder, SheetMap map, int column, int row, double level)
    {
        Span<double> values = [Value(column, row), Value(column + 1, row), Value(column + 1, row + 1), Value(column, row + 1)];
        Span<Point2> crossings = stackalloc Point2[4];
        var count = 0;
        for (var i = 0; i < 4; i++)
        {
            var (from, to) = (values[i], values[(i + 1) % 4]);
            if (from > level != to > level)
            {
                crossings[count++] = Point2.Lerp(Middle(column, row, i), Middle(column, row, (i + 1) % 4), (level - from) / (to - from));
            }
        }

        // Four crossings are a saddle: which pairs belong together is beyond what four values tell.
        for (var i = 0; i + 1 < count; i += 2)
        {
            builder.MoveTo((float)map.X(crossings[i].X), (float)map.Y(crossings[i].Y));
            builder.LineTo((float)map.X(crossings[i + 1].X), (float)map.Y(crossings[i + 1].Y));
        }
    }

    private Point2 Middle(int column, int row, int corner) => new(
        _map.Corner.X + ((column + 0.5 + (corner is 1 or 2 ? 1 : 0)) * _map.CellMm),
        _map.Corner.Y + ((row + 0.5 + (corner is 2 or 3 ? 1 : 0)) * _map.CellMm));

    private double Value(int column, int row) => _celsius[(row * _map.Columns) + column];

    private static float[] Filled(HeatMap map)
    {
        var (columns, rows) = (map.Columns, map.Rows);
        var values = new float[map.PeakRiseK.Length];
        for (var i = 0; i < values.Length; i++)
        {
            values[i] = map.PeakRiseK[i] + (float)FilmConditions.RoomC;
        }

        for (var step = 0; step < FillSteps; step++)
        {
            var before = (float[])values.Clone();
            for (var i = 0; i < values.Length; i++)
            {
                if (float.IsNaN(before[i]))
                {
                    values[i] = Hottest(before, i % columns, i / columns, columns, rows);
                }
            }
        }

        for (var i = 0; i < values.Length; i++)
        {
            values[i] = float.IsNaN(values[i]) ? (float)TopC : values[i];
        }

        return values;
    }

    private static float Hottest(float[] values, int column, int row, int columns, int rows)
    {
        var hottest = float.NaN;
        for (var y = Math.Max(row - 1, 0); y <= Math.Min(row + 1, rows - 1); y++)
        {
            for (var x = Math.Max(column - 1, 0); x <= Math.Min(column + 1, columns - 1); x++)
            {
                var value = values[(y * columns) + x];
                hottest = float.IsNaN(hottest) || value > hottest ? float.IsNaN(value) ? hottest : value : hottest;
            }
        }

        return hottest;
    }
}
