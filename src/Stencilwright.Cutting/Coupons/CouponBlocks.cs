using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Design;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting.Coupons;

/// <summary>A group of features that is placed as one.</summary>
/// <param name="WidthMm">Room it takes along x, scores included.</param>
/// <param name="HeightMm">Room it takes along y, scores included.</param>
/// <param name="Draw">Draws it with its lower left corner at a point.</param>
internal sealed record CouponBlock(double WidthMm, double HeightMm, Action<CouponPen, Point2> Draw);

/// <summary>The groups of a calibration coupon.</summary>
internal static class CouponBlocks
{
    private const double LabelGapMm = 0.9;
    private const double LabelRoomMm = LabelGapMm + CouponPen.LabelMm;
    private const double ItemGapMm = 2.4;

    /// <summary>Features of one kind side by side, largest first, each with its name below.</summary>
    public static CouponBlock Row(
        string kind, char letter, ImmutableArray<FeatureSize> sizes, Func<Bounds2, int, Contour> shape)
    {
        var cells = sizes.Select((s, i) => Math.Max(s.WidthMm, StrokeFont.WidthMm(Id(letter, i), CouponPen.LabelMm))).ToArray();
        return new CouponBlock(cells.Sum() + (ItemGapMm * (cells.Length - 1)), sizes.Max(s => s.HeightMm) + LabelRoomMm, (pen, at) =>
        {
            var x = at.X;
            for (var i = 0; i < cells.Length; i++)
            {
                var middle = x + (cells[i] / 2);
                var box = Box(new(middle, at.Y + LabelRoomMm + (sizes[i].HeightMm / 2)), sizes[i]);
                pen.Cut(Feature(Id(letter, i), kind, box), shape(box, i));
                pen.WriteCentred(Id(letter, i), new(middle, at.Y));
                x += cells[i] + ItemGapMm;
            }
        });
    }

    /// <summary>Slots along x above one another, widest on top, each with its name on its right.</summary>
    public static CouponBlock SlotsX(double lengthMm, ImmutableArray<double> widthsMm)
    {
        const double Gap = 1.6;
        var rows = widthsMm.Select(w => Math.Max(w, CouponPen.LabelMm)).ToArray();
        var label = StrokeFont.WidthMm(Id('X', widthsMm.Length - 1), CouponPen.LabelMm);
        return new CouponBlock(lengthMm + LabelGapMm + label, rows.Sum() + (Gap * (rows.Length - 1)), (pen, at) =>
        {
            var y = at.Y + rows.Sum() + (Gap * (rows.Length - 1));
            for (var i = 0; i < rows.Length; i++)
            {
                y -= rows[i];
                var box = Box(new(at.X + (lengthMm / 2), y + (rows[i] / 2)), new(lengthMm, widthsMm[i]));
                pen.Cut(Feature(Id('X', i), FeatureKinds.SlotX, box), Contour.Rectangle(box));
                pen.Write(Id('X', i), new(at.X + lengthMm + LabelGapMm, y + ((rows[i] - CouponPen.LabelMm) / 2)), CouponPen.LabelMm);
                y -= Gap;
            }
        });
    }

    /// <summary>Slots side by side along x, the film between them narrower from rung to rung.</summary>
    public static CouponBlock LadderX(double rungMm, double lengthMm, ImmutableArray<double> websMm) => new(
        (rungMm * (websMm.Length + 1)) + websMm.Sum(), lengthMm + LabelRoomMm, (pen, at) =>
        {
            var x = at.X;
            for (var i = 0; i <= websMm.Length; i++)
            {
                x += i == 0 ? 0 : websMm[i - 1];
                var box = new Bounds2(x, at.Y + LabelRoomMm, x + rungMm, at.Y + LabelRoomMm + lengthMm);
                pen.Cut(Rung(Id('P', i), FeatureKinds.LadderX, box, i == 0 ? null : websMm[i - 1]), Contour.Rectangle(box));
                if (IsNamed(i, websMm.Length))
                {
                    pen.WriteCentred(Id('P', i), new(x + (rungMm / 2), at.Y));
                }

                x += rungMm;
            }
        });

    /// <summary>Slots above one another, widest web on top, narrower downwards.</summary>
    public static CouponBlock LadderY(double rungMm, double lengthMm, ImmutableArray<double> websMm)
    {
        var tall = (rungMm * (websMm.Length + 1)) + websMm.Sum();
        var label = StrokeFont.WidthMm(Id('Q', websMm.Length), CouponPen.LabelMm);
        return new CouponBlock(lengthMm + LabelGapMm + label, tall, (pen, at) =>
        {
            var y = at.Y + tall;
            for (var i = 0; i <= websMm.Length; i++)
            {
                y -= rungMm + (i == 0 ? 0 : websMm[i - 1]);
                var box = new Bounds2(at.X, y, at.X + lengthMm, y + rungMm);
                pen.Cut(Rung(Id('Q', i), FeatureKinds.LadderY, box, i == 0 ? null : websMm[i - 1]), Contour.Rectangle(box));
                if (IsNamed(i, websMm.Length))
                {
                    pen.Write(Id('Q', i), new(at.X + lengthMm + LabelGapMm, y + ((rungMm - CouponPen.LabelMm) / 2)), CouponPen.LabelMm);
                }
            }
        });
    }

    /// <summary>The sheet's name, what it was cut with, and the directions of the axes, in lines of their own.</summary>
    public static CouponBlock Title(string title, string terms)
    {
        const double TitleMm = 3;
        const double TermsMm = 1.4;
        const double Arrow = 6;
        var axes = Math.Max(StrokeFont.WidthMm(title, TitleMm), StrokeFont.WidthMm(terms, TermsMm)) + 5;
        return new CouponBlock(axes + Arrow + 2.5, Arrow + 1, (pen, at) =>
        {
            pen.Write(title, new(at.X, at.Y + TermsMm + 1.5), TitleMm);
            pen.Write(terms, at, TermsMm);
            var origin = new Point2(at.X + axes, at.Y);
            pen.Score(new(origin.X, origin.Y + Arrow), origin, new(origin.X + Arrow, origin.Y));
            pen.Score(new(origin.X - 0.6, origin.Y + Arrow - 1.2), new(origin.X, origin.Y + Arrow), new(origin.X + 0.6, origin.Y + Arrow - 1.2));
            pen.Score(new(origin.X + Arrow - 1.2, origin.Y + 0.6), new(origin.X + Arrow, origin.Y), new(origin.X + Arrow - 1.2, origin.Y - 0.6));
            pen.Write("Y", new(origin.X + 1, origin.Y + Arrow - 1.4), 1.4);
            pen.Write("X", new(origin.X + Arrow + 0.8, origin.Y - 0.7), 1.4);
        });
    }

    /// <summary>A name: letter and number from 1.</summary>
    public static string Id(char letter, int index) => string.Create(CultureInfo.InvariantCulture, $"{letter}{index + 1}");

    private static CouponFeature Feature(string id, string kind, Bounds2 box) =>
        new() { Id = id, Kind = kind, Center = box.Center, WidthMm = Tidy(box.Width), HeightMm = Tidy(box.Height) };

    private static CouponFeature Rung(string id, string kind, Bounds2 box, double? webMm) =>
        Feature(id, kind, box) with { WebMm = webMm };

    private static Bounds2 Box(Point2 middle, FeatureSize size) => new(
        middle.X - (size.WidthMm / 2), middle.Y - (size.HeightMm / 2), middle.X + (size.WidthMm / 2), middle.Y + (size.HeightMm / 2));

    // Every fifth rung and the last: there is no room for more.
    private static bool IsNamed(int i, int last) => i == last || (i % 5 == 0 && last - i > 3);

    // What was drawn as 0.3 is told as 0.3, not with the last bits of a difference.
    private static double Tidy(double mm) => Math.Round(mm, 9);
}

/// <summary>Width and height of a feature.</summary>
internal readonly record struct FeatureSize(double WidthMm, double HeightMm);
