using System.Globalization;
using Stencilwright.Foundation;

namespace Stencilwright.Artwork.Gerber;

/// <summary>Drops operations that lie further out than a board can be, and speaks of those that lie further out than boards are.</summary>
internal readonly struct CoordinateLimit
{
    private readonly long _maxX;
    private readonly long _maxY;
    private readonly long _doubtfulX;
    private readonly long _doubtfulY;
    private readonly double _countXMm;
    private readonly double _countYMm;
    private readonly GerberDiagnostics _diagnostics;

    public CoordinateLimit(ReadLimits limits, ArtworkUnit unit, int decimalsX, int decimalsY, GerberDiagnostics diagnostics)
    {
        var unitMm = unit == ArtworkUnit.Inch ? Lengths.MillimetresPerInch : 1;
        (_countXMm, _countYMm) = (unitMm / Math.Pow(10, decimalsX), unitMm / Math.Pow(10, decimalsY));
        (_maxX, _maxY) = (Counts(limits.MaxCoordinateMm, _countXMm), Counts(limits.MaxCoordinateMm, _countYMm));
        (_doubtfulX, _doubtfulY) = (Counts(limits.DoubtfulCoordinateMm, _countXMm), Counts(limits.DoubtfulCoordinateMm, _countYMm));
        _diagnostics = diagnostics;
    }

    private static long Counts(double lengthMm, double countMm) => (long)Math.Min(lengthMm / countMm, int.MaxValue);

    /// <summary>False when no coordinate of the file can lie far out.</summary>
    /// <param name="bits">All coordinates' magnitudes, laid over one another.</param>
    public bool MayBeReached(int bits) => (uint)bits >= Math.Min(Math.Min(_maxX, _maxY), Math.Min(_doubtfulX, _doubtfulY));

    public void Apply(GerberItemList list)
    {
        var items = list.Span;
        for (var i = 0; i < items.Length; i++)
        {
            ref readonly var item = ref items[i];
            if (item.Kind > ItemKind.Flash)
            {
                continue;
            }

            var center = list.CenterAfter(i);
            if (!IsWithin(item.X, item.Y, _maxX, _maxY) || !IsWithin(center.X, center.Y, _maxX, _maxY))
            {
                var back = i > 0 && items[i - 1].Kind <= ItemKind.Flash ? items[i - 1] : default;
                _diagnostics.Error(GerberCodes.FarCoordinate, item.Offset, "A coordinate lies further out than any board, so the operation was left out; check the unit and the number format, or export again.");
                list.Set(i, new GerberItem(ItemKind.Move, item.Offset, item.State, back.X, back.Y));
            }
            else if (!IsWithin(item.X, item.Y, _doubtfulX, _doubtfulY) && _diagnostics.IsFirst(GerberCodes.FarCoordinate))
            {
                var farMm = Math.Max(Math.Abs(item.X * _countXMm), Math.Abs(item.Y * _countYMm));
                _diagnostics.Warn(GerberCodes.FarCoordinate, item.Offset, string.Create(
                    CultureInfo.InvariantCulture,
                    $"A coordinate lies {farMm / 1000:0.###} m from the origin (perhaps others too), which few boards reach; if this one does not, the number format (FS) or the unit (MO) is not that of the coordinates, so export the file again."));
            }
        }
    }

    private static bool IsWithin(int x, int y, long maxX, long maxY) => Math.Abs((long)x) <= maxX && Math.Abs((long)y) <= maxY;
}
