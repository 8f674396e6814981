using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Design;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting.Coupons;

/// <summary>Lays out coupons. The same settings give the same coupon.</summary>
public static partial class CouponDesigner
{
    /// <summary>Film left free all round, so that the sheet can be taped down.</summary>
    internal const double MarginMm = 5;

    // Rulers and diagonals run in a strip round the other features.
    private const double StripMm = 9.5;

    // Longer than calipers open, a ruler could not be read by hand.
    private const double MostSpanMm = 140;

    private const double RowGapMm = 3.2;
    private const double BlockGapMm = 4;
    private const double TickMm = 1;
    private const double TickLengthMm = 3;
    private const double DotMm = 2;
    private const double ShorterMm = 16;

    /// <summary>Lays out the calibration coupon: the large one, or a smaller one where the film blank is small.</summary>
    /// <param name="settings">The film blank, its thickness, power and speeds. Kerf, scale and skew are left out of account.</param>
    /// <param name="cancellation">Stops the work with an <see cref="OperationCanceledException"/>.</param>
    /// <returns>The coupon, or the diagnostic CUT040 that says by how much the blank is too small.</returns>
    public static Outcome<Coupon> Design(JobSettings settings, CancellationToken cancellation = default)
    {
        ArgumentNullException.ThrowIfNull(settings);
        var blank = settings.FilmBlankMm;
        var (room, small) = (new FeatureSize(blank.WidthMm - (2 * MarginMm), blank.HeightMm - (2 * MarginMm)), default(FeatureSize));
        foreach (var rows in (ReadOnlySpan<ImmutableArray<ImmutableArray<CouponBlock>>>)[Large(settings), Small()])
        {
            var content = ContentOf(rows);
            small = new(content.WidthMm + (2 * StripMm), content.HeightMm + (2 * StripMm));
            if (small.WidthMm <= room.WidthMm && small.HeightMm <= room.HeightMm)
            {
                var pen = new CouponPen();
                Draw(pen, blank, rows, content);
                return new Outcome<Coupon>(
                    new Coupon { Purpose = CouponPurpose.Calibration, Features = [.. pen.Features], Sheet = pen.Plan(settings, blank, cancellation) }, []);
            }
        }

        return new Outcome<Coupon>(null, [TooSmall(blank, small)]);
    }

    /// <summary>The refusal of a blank that is too small for a sheet of features.</summary>
    internal static Diagnostic TooSmall(BlankSize blank, FeatureSize content)
    {
        var (width, height) = (content.WidthMm + (2 * MarginMm), content.HeightMm + (2 * MarginMm));
        var missing = new List<string>(2);
        if (blank.WidthMm < width)
        {
            missing.Add(string.Create(CultureInfo.InvariantCulture, $"{width - blank.WidthMm:0.0} mm in width"));
        }

        if (blank.HeightMm < height)
        {
            missing.Add(string.Create(CultureInfo.InvariantCulture, $"{height - blank.HeightMm:0.0} mm in height"));
        }

        return new Diagnostic("CUT040", Severity.Error, string.Create(CultureInfo.InvariantCulture,
            $"the film blank of {blank.WidthMm:0.##} × {blank.HeightMm:0.##} mm is too small for the smallest coupon by {string.Join(" and ", missing)}; give a blank of at least {Math.Ceiling(width)} × {Math.Ceiling(height)} mm, --set film_blank_mm={Math.Ceiling(width)}x{Math.Ceiling(height)}."),
            SourcePlace.Whole("film_blank_mm"));
    }

    private static ImmutableArray<ImmutableArray<CouponBlock>> Large(JobSettings s) =>
    [
        [CouponBlocks.Title("COUPON", string.Create(CultureInfo.InvariantCulture,
            $"FILM {s.FilmThicknessMm:0.####} MM, {s.FilmPowerPercent:0.##} % AT {s.FilmSpeedMmS:0.##} MM/S"))],
        [Squares(8, 5, 3, 2, 1.2, 0.8, 0.5, 0.3, 0.2)],
        [Circles(5, 3, 2, 1.2, 0.8, 0.5, 0.3, 0.2), Rings(7, 5, 3)],
        [
            CouponBlocks.SlotsX(8, [2, 1.2, 0.8, 0.5, 0.3, 0.2, 0.1]),
            SlotsY(8, 2, 1.2, 0.8, 0.5, 0.3, 0.2, 0.1),
            CouponBlocks.LadderX(0.5, 3, [0.60, 0.50, 0.42, 0.36, 0.31, 0.27, 0.24, 0.21, 0.18, 0.15]),
            CouponBlocks.LadderY(0.5, 3, [0.60, 0.50, 0.42, 0.36, 0.31, 0.27, 0.24, 0.21, 0.18, 0.15]),
        ],
        [Corners(5, 5, 4)],
    ];

    private static ImmutableArray<ImmutableArray<CouponBlock>> Small() =>
    [
        [Squares(5, 3, 1.2, 0.6, 0.3)],
        [Circles(3, 1.2, 0.6, 0.3), Rings(4)],
        [
            CouponBlocks.SlotsX(5, [1.2, 0.6, 0.3, 0.15]),
            SlotsY(5, 1.2, 0.6, 0.3, 0.15),
            Corners(4),
        ],
        [
            CouponBlocks.LadderX(0.5, 3, [0.50, 0.36, 0.30, 0.25, 0.21, 0.17]),
            CouponBlocks.LadderY(0.5, 3, [0.50, 0.36, 0.30, 0.25, 0.21, 0.17]),
        ],
    ];

    private static CouponBlock Squares(params ReadOnlySpan<double> sizes) => CouponBlocks.Row(
        FeatureKinds.Square, 'S', Same(sizes), static (box, _) => Contour.Rectangle(box));

    private static CouponBlock Circles(params ReadOnlySpan<double> sizes) => CouponBlocks.Row(
        FeatureKinds.Circle, 'C', Same(sizes), static (box, _) => Contour.Circle(box.Center, box.Width / 2));

    private static CouponBlock Rings(params ReadOnlySpan<double> sizes) => CouponBlocks.Row(
        FeatureKinds.Ring, 'R', Same(sizes), static (box, _) => CouponShapes.Ring(box.Center, box.Width, 0.6, 1.2));

    private static CouponBlock Corners(params ReadOnlySpan<double> sizes) => CouponBlocks.Row(
        FeatureKinds.Corner, 'K', Same(sizes), static (box, i) => i switch
        {
            0 => CouponShapes.Angle(box, box.Width / 4),
            1 => CouponShapes.Wedge(box),
            _ => CouponShapes.Diamond(box),
        });

    private static CouponBlock SlotsY(double lengthMm, params ReadOnlySpan<double> widths)
    {
        var sizes = ImmutableArray.CreateBuilder<FeatureSize>();
        foreach (var width in widths)
        {
            sizes.Add(new(width, lengthMm));
        }

        return CouponBlocks.Row(FeatureKinds.SlotY, 'Y', sizes.ToImmutable(), static (box, _) => Contour.Rectangle(box));
    }

    private static ImmutableArray<FeatureSize> Same(ReadOnlySpan<double> sizes)
    {
        var same = ImmutableArray.CreateBuilder<FeatureSize>();
        foreach (var size in sizes)
        {
            same.Add(new(size, size));
        }

        return same.ToImmutable();
    }

    private static FeatureSize ContentOf(ImmutableArray<ImmutableArray<CouponBlock>> rows) => new(
        rows.Max(WidthOf), rows.Sum(row => row.Max(b => b.HeightMm)) + (RowGapMm * (rows.Length - 1)));

    private static double WidthOf(ImmutableArray<CouponBlock> row) =>
        row.Sum(b => b.WidthMm) + (BlockGapMm * (row.Length - 1));

    private static void Draw(CouponPen pen, BlankSize blank, ImmutableArray<ImmutableArray<CouponBlock>> rows, FeatureSize content)
    {
        // The whole lies in the middle of the blank; a large blank gets longer rulers, up to what calipers can read.
        var (w, h) = (Math.Min(blank.WidthMm - (2 * MarginMm), MostSpanMm), Math.Min(blank.HeightMm - (2 * MarginMm), MostSpanMm));
        var (x, y) = ((blank.WidthMm - w) / 2, (blank.HeightMm - h) / 2);
        var area = new Bounds2(x, y, x + w, y + h);
        DrawRows(pen, area.Inflate(-StripMm), rows, content);
        DrawRulers(pen, area);
        DrawDiagonals(pen, area);
    }

    private static void DrawRows(CouponPen pen, Bounds2 box, ImmutableArray<ImmutableArray<CouponBlock>> rows, FeatureSize content)
    {
        // Spare room goes between rows and blocks, and what would pull them apart stays at the edges.
        var rowGap = RowGapMm + Math.Min((box.Height - content.HeightMm) / Math.Max(1, rows.Length - 1), 3);
        var used = content.HeightMm + ((rowGap - RowGapMm) * (rows.Length - 1));
        var y = box.MaxY - ((box.Height - used) / 2);
        var spare = Math.Min((box.Width - content.WidthMm) / 2, 4);
        foreach (var row in rows)
        {
            y -= row.Max(b => b.HeightMm);
            var gap = BlockGapMm + Math.Min((content.WidthMm + (2 * spare) - WidthOf(row)) / Math.Max(1, row.Length - 1), 6);
            var x = box.Center.X - (content.WidthMm / 2) - spare;
            foreach (var block in row)
            {
                block.Draw(pen, new(x, y));
                x += block.WidthMm + gap;
            }

            y -= rowGap;
        }
    }

    // Two rulers along opposite edges and a shorter one beside the first: one that was read wrongly stands out.
    private static void DrawRulers(CouponPen pen, Bounds2 a)
    {
        var (tall, wide) = (new FeatureSize(TickMm, TickLengthMm), new FeatureSize(TickLengthMm, TickMm));
        RulerX(pen, "A1", a.MinX, a.MaxX, a.MinY + 4.5, tall, a);
        RulerX(pen, "A2", a.MinX, a.MaxX, a.MaxY - 4.5, tall, a);
        RulerX(pen, "A3", a.MinX + ShorterMm, a.MaxX - ShorterMm, a.MinY + 1.5, tall, a);
        RulerY(pen, "B1", a.MinY, a.MaxY, a.MinX + 4.5, wide, a);
        RulerY(pen, "B2", a.MinY, a.MaxY, a.MaxX - 4.5, wide, a);
        RulerY(pen, "B3", a.MinY + ShorterMm, a.MaxY - ShorterMm, a.MinX + 1.5, wide, a);
    }

    private static void RulerX(CouponPen pen, string id, double fromX, double toX, double y, FeatureSize tick, Bounds2 area)
    {
        pen.CutEnds(new CouponFeature
        {
            Id = id,
            Kind = FeatureKinds.RulerX,
            Center = new((fromX + toX) / 2, y),
            WidthMm = Math.Round(toX - fromX, 9),
            HeightMm = tick.HeightMm,
            Ends =
            [
                new(new(fromX + (tick.WidthMm / 2), y), tick.WidthMm, tick.HeightMm),
                new(new(toX - (tick.WidthMm / 2), y), tick.WidthMm, tick.HeightMm),
            ],
        }, round: false);
        var inwards = y < area.Center.Y ? (tick.HeightMm / 2) + 0.8 : -(tick.HeightMm / 2) - 0.8 - CouponPen.LabelMm;
        pen.WriteCentred(id, new(fromX + (tick.WidthMm / 2), y + inwards));
        pen.WriteCentred(id, new(toX - (tick.WidthMm / 2), y + inwards));
        var (middle, half) = ((fromX + toX) / 2, 6.0);
        pen.WriteCentred(id, new(middle, y - (CouponPen.LabelMm / 2)));
        pen.Score(new(middle - 2.2, y), new(middle - 2.2 - half, y));
        pen.Score(new(middle + 2.2, y), new(middle + 2.2 + half, y));
    }

    private static void RulerY(CouponPen pen, string id, double fromY, double toY, double x, FeatureSize tick, Bounds2 area)
    {
        pen.CutEnds(new CouponFeature
        {
            Id = id,
            Kind = FeatureKinds.RulerY,
            Center = new(x, (fromY + toY) / 2),
            WidthMm = tick.WidthMm,
            HeightMm = Math.Round(toY - fromY, 9),
            Ends =
            [
                new(new(x, fromY + (tick.HeightMm / 2)), tick.WidthMm, tick.HeightMm),
                new(new(x, toY - (tick.HeightMm / 2)), tick.WidthMm, tick.HeightMm),
            ],
        }, round: false);
        var inwards = x < area.Center.X ? (tick.WidthMm / 2) + 0.8 : -(tick.WidthMm / 2) - 0.8 - StrokeFont.WidthMm(id, CouponPen.LabelMm);
        pen.Write(id, new(x + inwards, fromY + ((tick.HeightMm - CouponPen.LabelMm) / 2)), CouponPen.LabelMm);
        pen.Write(id, new(x + inwards, toY - ((tick.HeightMm + CouponPen.LabelMm) / 2)), CouponPen.LabelMm);
        var (middle, half) = ((fromY + toY) / 2, 6.0);
        pen.Write(id, new(x + (CouponPen.LabelMm / 2), middle - (StrokeFont.WidthMm(id, CouponPen.LabelMm) / 2)), CouponPen.LabelMm, upwards: true);
        pen.Score(new(x, middle - 2.2), new(x, middle - 2.2 - half));
        pen.Score(new(x, middle + 2.2), new(x, middle + 2.2 + half));
    }

    // Two pairs: one for the skew, the other to notice a diagonal that was read wrongly.
    private static void DrawDiagonals(CouponPen pen, Bounds2 a)
    {
        Diagonals(pen, "D1", "D2", a.Inflate(-4.5));
        Diagonals(pen, "D3", "D4", new(a.MinX + 10, a.MinY + 4.5, a.MaxX - 10, a.MaxY - 4.5));
    }

    private static void Diagonals(CouponPen pen, string rising, string falling, Bounds2 box)
    {
        Diagonal(pen, rising, FeatureKinds.DiagonalA, new(box.MinX, box.MinY), new(box.MaxX, box.MaxY));
        Diagonal(pen, falling, FeatureKinds.DiagonalB, new(box.MinX, box.MaxY), new(box.MaxX, box.MinY));
    }

    private static void Diagonal(CouponPen pen, string id, string kind, Point2 from, Point2 to)
    {
        pen.CutEnds(new CouponFeature
        {
            Id = id,
            Kind = kind,
            Center = Point2.Lerp(from, to, 0.5),
            WidthMm = Math.Round(Point2.Distance(from, to) + DotMm, 9),
            HeightMm = DotMm,
            RotationDeg = Math.Atan2(to.Y - from.Y, to.X - from.X) * 180 / Math.PI,
            Ends = [new(from, DotMm, DotMm), new(to, DotMm, DotMm)],
        }, round: true);
        foreach (var end in (ReadOnlySpan<Point2>)[from, to])
        {
            // On the side towards the middle, where no ruler ends.
            var inwards = end.X < (from.X + to.X) / 2 ? 1.5 : -1.5 - StrokeFont.WidthMm(id, CouponPen.LabelMm);
            pen.Write(id, new(end.X + inwards, end.Y - (CouponPen.LabelMm / 2)), CouponPen.LabelMm);
        }
    }
}
