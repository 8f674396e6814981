namespace Stencilwright.Artwork.Svg;

/// <summary>Reads path data (W3C SVG, "Paths") into a path builder.</summary>
internal static class SvgPathData
{
    /// <summary>Draws as far as the data is sound.</summary>
    /// <returns>Index of the first character that could not be understood; -1 when all was.</returns>
    public static int Draw(string data, SvgPathBuilder path)
    {
        var scanner = new SvgScanner(data);
        var pen = new Pen(path);
        while (!scanner.AtEnd)
        {
            var at = scanner.Position;
            var command = scanner.Peek;
            if (!char.IsAsciiLetter(command) || (at == FirstOf(data) && command is not ('M' or 'm')))
            {
                return at;
            }

            scanner.Advance();
            if (command is 'Z' or 'z')
            {
                pen.Close();
                continue;
            }

            if (!pen.Run(command, ref scanner))
            {
                return Math.Min(scanner.Position, data.Length - 1);
            }
        }

        return -1;
    }

    private static int FirstOf(string data)
    {
        var scanner = new SvgScanner(data);
        scanner.SkipSpace();
        return scanner.Position;
    }

    // The current point, and the last control point for the commands that continue a curve smoothly.
    private struct Pen(SvgPathBuilder path)
    {
        private double _x;
        private double _y;
        private double _startX;
        private double _startY;
        private double _controlX;
        private double _controlY;
        private char _last;

        public void Close()
        {
            path.Close();
            (_x, _y, _last) = (_startX, _startY, 'Z');
        }

        // One command with as many argument groups as follow it.
        public bool Run(char command, ref SvgScanner scanner)
        {
            var isRelative = char.IsAsciiLetterLower(command);
            var kind = char.ToUpperInvariant(command);
            do
            {
                var (dx, dy) = isRelative ? (_x, _y) : (0, 0);
                if (!One(kind, dx, dy, ref scanner))
                {
                    return false;
                }

                _last = kind;
                // Points after the first of a move are lines.
                kind = kind == 'M' ? 'L' : kind;
            }
            while (scanner.NumberFollows());

            return true;
        }

        private bool One(char kind, double dx, double dy, ref SvgScanner scanner)
        {
            switch (kind)
            {
                case 'M' when Point(ref scanner, dx, dy, out var x, out var y):
                    path.MoveTo(x, y);
                    (_x, _y, _startX, _startY) = (x, y, x, y);
                    return true;
                case 'L' when Point(ref scanner, dx, dy, out var x, out var y):
                    return Line(x, y);
                case 'H' when scanner.TryNumber(out var x):
                    return Line(x + dx, _y);
                case 'V' when scanner.TryNumber(out var y):
                    return Line(_x, y + dy);
                case 'C' when Point(ref scanner, dx, dy, out var x1, out var y1)
                    && Point(ref scanner, dx, dy, out var x2, out var y2) && Point(ref scanner, dx, dy, out var x, out var y):
                    return Cubic(x1, y1, x2, y2, x, y);
                case 'S' when Point(ref scanner, dx, dy, out var x2, out var y2) && Point(ref scanner, dx, dy, out var x, out var y):
                    var (sx, sy) = _last is 'C' or 'S' ? ((2 * _x) - _controlX, (2 * _y) - _controlY) : (_x, _y);
                    return Cubic(sx, sy, x2, y2, x, y);
                case 'Q' when Point(ref scanner, dx, dy, out var x1, out var y1) && Point(ref scanner, dx, dy, out var x, out var y):
                    return Quadratic(x1, y1, x, y);
                case 'T' when Point(ref scanner, dx, dy, out var x, out var y):
                    var (tx, ty) = _last is 'Q' or 'T' ? ((2 * _x) - _controlX, (2 * _y) - _controlY) : (_x, _y);
                    return Quadratic(tx, ty, x, y);
                case 'A' when scanner.TryNumber(out var rx) && scanner.TryNumber(out var ry) && scanner.TryNumber(out var turn)
                    && scanner.TryFlag(out var large) && scanner.TryFlag(out var sweep) && Point(ref scanner, dx, dy, out var x, out var y):
                    path.ArcTo(_x, _y, Math.Abs(rx), Math.Abs(ry), turn, large, sweep, x, y);
                    (_x, _y) = (x, y);
                    return true;
                default:
                    return false;
            }
        }

        private bool Line(double x, double y)
        {
            path.LineTo(x, y);
            (_x, _y) = (x, y);
            return true;
        }

        private bool Cubic(double x1, double y1, double x2, double y2, double x, double y)
        {
            path.CubicTo(_x, _y, x1, y1, x2, y2, x, y);
            (_controlX, _controlY, _x, _y) = (x2, y2, x, y);
            return true;
        }

        private bool Quadratic(double x1, double y1, double x, double y)
        {
            // The same curve as a cubic: controls two thirds of the way to the quadratic's.
            path.CubicTo(
                _x, _y,
                _x + ((x1 - _x) * 2 / 3), _y + ((y1 - _y) * 2 / 3),
                x + ((x1 - x) * 2 / 3), y + ((y1 - y) * 2 / 3),
                x, y);
            (_controlX, _controlY, _x, _y) = (x1, y1, x, y);
            return true;
        }

        private static bool Point(ref SvgScanner scanner, double dx, double dy, out double x, out double y)
        {
            y = 0;
            var read = scanner.TryNumber(out x) && scanner.TryNumber(out y);
            (x, y) = (x + dx, y + dy);
            return read;
        }
    }
}
