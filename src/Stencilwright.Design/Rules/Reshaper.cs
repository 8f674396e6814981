using Stencilwright.Geometry;

namespace Stencilwright.Design.Rules;

/// <summary>Makes the shape that a rule asks for, in the opening's own frame.</summary>
internal static class Reshaper
{
    /// <summary>Narrowest opening over film thickness for good release. Source: IPC-7525, section 3.2.</summary>
    private const double LeastAspectRatio = 1.5;

    // Halvings of the search for the strongest change that the floor allows: 1/1,000 of the change, 1/250 for shapes that need
    // a region operation each time.
    private const int BoxSteps = 10;
    private const int OtherSteps = 8;

    // An opening by the beam that takes more than this off a shape has lost parts of it, not corners.
    private const double MostCornerLoss = 0.05;

    private const double NothingMm = 1e-9;

    /// <summary>The strongest change that keeps the opening's area ratio: the shape, and how much of the change it is.</summary>
    /// <param name="form">The opening.</param>
    /// <param name="rule">The rule.</param>
    /// <param name="size">Its change worked out for this opening.</param>
    /// <param name="filmThicknessMm">Film thickness.</param>
    /// <returns>The shape in the opening's frame, null for the artwork's own; the share of the change, 0 to 1.</returns>
    public static (Region? Local, double Share) Strongest(LocalOpening form, ApertureRule rule, SizeChange size, double filmThicknessMm)
    {
        var floorMm = Math.Min(form.AreaRatioMm, rule.KeepAreaRatio * filmThicknessMm) - NothingMm;
        var leastWidthMm = Math.Min(form.WidthMm, LeastAspectRatio * filmThicknessMm) - NothingMm;
        var whole = At(form, rule.Change, size, 1);
        if (IsGood(whole, floorMm, leastWidthMm))
        {
            return (whole, 1);
        }

        var (good, bad) = (0.0, 1.0);
        Region? best = null;
        for (var step = 0; step < (form.IsBox ? BoxSteps : OtherSteps); step++)
        {
            var middle = (good + bad) / 2;
            var tried = At(form, rule.Change, size, middle);
            if (IsGood(tried, floorMm, leastWidthMm))
            {
                (good, best) = (middle, tried);
            }
            else
            {
                bad = middle;
            }
        }

        if (best is null)
        {
            // Even the least of it is too much; corners and a square for a circle do not count as a reduction.
            var none = At(form, rule.Change, size, 0);
            best = IsGood(none, floorMm, leastWidthMm) ? none : null;
        }

        return (best, good);
    }

    private static bool IsGood(Region? shape, double floorMm, double leastWidthMm)
    {
        if (shape is null || shape.IsEmpty)
        {
            return false;
        }

        var box = shape.Bounds;
        return shape.AreaMm2 >= floorMm * shape.PerimeterMm && Math.Min(box.Width, box.Height) >= leastWidthMm;
    }

    private static Region? At(LocalOpening form, RuleChange change, SizeChange size, double share) =>
        !form.IsBox ? OtherAt(form, size, share)
        : change.Reshape == Reshaping.RoundedSquare ? Region.Of(SquareAt(form, change, share))
        : BoxAt(form, change, size, share);

    private static Contour SquareAt(LocalOpening form, RuleChange change, double share)
    {
        var side = form.WidthMm - (share * change.SquareLessMm);
        var radius = change.CornerRadiusPercent > 0 ? change.CornerRadiusPercent / 100 * side : change.CornerRadiusMm;
        radius = Math.Min(radius, side / 2);
        if (!change.MayGrow)
        {
            // The square of the circle's area, its corners' share kept.
            var ratio = radius / side;
            var most = Math.Sqrt(form.AreaMm2 / (1 - ((4 - Math.PI) * ratio * ratio)));
            (side, radius) = side > most ? (most, ratio * most) : (side, radius);
        }

        return Outlines.Rounded(new(-side / 2, -side / 2, side / 2, side / 2), radius);
    }

    private static Region? BoxAt(LocalOpening form, RuleChange change, SizeChange size, double share)
    {
        var (hx, hy) = (form.HalfLengthMm - (share * size.OffLengthMm / 2), form.HalfWidthMm - (share * size.OffWidthMm / 2));
        var box = new Bounds2(-hx, -hy, hx, hy);
        if (size.Heel != default)
        {
            box = PulledBack(box, size.Heel, share * change.HeelBackMm);
            box = PulledBack(box, -size.Heel, share * change.ToeBackMm);
        }

        if (box.Width <= NothingMm || box.Height <= NothingMm)
        {
            return null;
        }

        // Both axes inset by the lesser reduction take that much off the radius; the rest moves the corners as they are.
        var own = form.Shape == OpeningShape.Rectangle ? 0 : Math.Max(0, form.CornerRadiusMm - (share * Math.Min(size.OffLengthMm, size.OffWidthMm) / 2));
        own = form.Shape is OpeningShape.Obround or OpeningShape.Circle ? Math.Max(own, Math.Min(box.Width, box.Height) / 2) : own;
        var radius = Math.Min(Math.Max(own, size.RadiusMm), Math.Min(box.Width, box.Height) / 2);
        if (Tapered(box, change, size.Heel, own, radius, share) is not { } tapered)
        {
            // Ends pulled back so far that the artwork's corners no longer fit between them are cut off straight.
            var plain = Region.Of(Outlines.Rounded(box, radius));
            return size.Heel != default && own > (Math.Min(box.Width, box.Height) / 2) + NothingMm ? RegionBoolean.Intersection(plain, form.Local) : plain;
        }

        // Beside a taper there may be no room for corners as round as the artwork's.
        return own > 0 && !HasRoom(box, change, size.Heel, own, share)
            ? RegionBoolean.Intersection(Region.Of(tapered), Region.Of(Outlines.Rounded(box, own)))
            : Region.Of(tapered);
    }

    private static Contour? Tapered(Bounds2 box, RuleChange change, Vector2 heel, double ownRadiusMm, double radiusMm, double share)
    {
        var isBowTie = change.Reshape == Reshaping.BowTie;
        if (!isBowTie && change.Reshape is not (Reshaping.HomePlate or Reshaping.InvertedHomePlate))
        {
            return null;
        }

        // Drawn with the heel to the right and turned to where it is; a bow-tie's length is the longer side.
        var axis = isBowTie ? new Vector2(1, 0) : heel;
        var (length, width) = axis.X != 0 ? (box.Width, box.Height) : (box.Height, box.Width);
        var depth = share * change.TaperDepthPercent / 100 * length;
        var flat = width * (1 - (share * (1 - (change.TaperFlatPercent / 100))));
        if (depth <= NothingMm || width - flat <= NothingMm)
        {
            return null;
        }

        var drawn = new Bounds2(-length / 2, -width / 2, length / 2, width / 2);
        var corners = change.Reshape switch
        {
            Reshaping.BowTie => Outlines.BowTie(drawn, depth, flat),
            Reshaping.InvertedHomePlate => Outlines.HomePlate(drawn, depth, flat, isInverted: true),
            // The tip may not reach into the corners that the artwork has rounded away.
            _ => Outlines.HomePlate(drawn, depth, Math.Min(flat, width - (2 * ownRadiusMm)), isInverted: false),
        };
        var turn = new Affine2(axis.X, -axis.Y, box.Center.X, axis.Y, axis.X, box.Center.Y);
        for (var i = 0; i < corners.Length; i++)
        {
            corners[i] = turn.Apply(corners[i]);
        }

        return Outlines.RoundedPolygon(corners, radiusMm);
    }

    // A corner shares its sides with the next one, half and half.
    private static bool HasRoom(Bounds2 box, RuleChange change, Vector2 heel, double ownRadiusMm, double share)
    {
        var (length, width) = change.Reshape == Reshaping.BowTie || heel.X != 0 ? (box.Width, box.Height) : (box.Height, box.Width);
        var depth = share * change.TaperDepthPercent / 100 * length;
        var flat = width * (1 - (share * (1 - (change.TaperFlatPercent / 100))));
        var least = change.Reshape switch
        {
            Reshaping.BowTie => Math.Min(width, (length / 2) - depth),
            Reshaping.InvertedHomePlate => Math.Min(length, flat / 2),
            _ => Math.Min(width, length - depth),
        };
        return ownRadiusMm <= least / 2;
    }

    private static Bounds2 PulledBack(Bounds2 box, Vector2 side, double byMm) => side switch
    {
        { X: > 0 } => box with { MaxX = box.MaxX - byMm },
        { X: < 0 } => box with { MinX = box.MinX + byMm },
        { Y: > 0 } => box with { MaxY = box.MaxY - byMm },
        _ => box with { MinY = box.MinY + byMm },
    };

    private static Region? OtherAt(LocalOpening form, SizeChange size, double share)
    {
        var (x, y) = (share * size.OffLengthMm / 2, share * size.OffWidthMm / 2);
        var shape = form.Local;
        if (x > 0 || y > 0)
        {
            shape = RegionOffset.Inset(shape, Math.Max(0, x), Math.Max(0, y));
        }
        else if (x < 0 || y < 0)
        {
            shape = RegionOffset.Outset(shape, -x, -y);
        }

        if (shape.IsEmpty || RegionBoolean.Islands(shape).Length != 1)
        {
            return null;
        }

        if (size.RadiusMm <= 0)
        {
            return shape;
        }

        var opened = RegionOffset.Open(shape, size.RadiusMm, size.RadiusMm);
        return !opened.IsEmpty && opened.AreaMm2 >= (1 - MostCornerLoss) * shape.AreaMm2 && RegionBoolean.Islands(opened).Length == 1
            ? opened
            : shape;
    }
}
