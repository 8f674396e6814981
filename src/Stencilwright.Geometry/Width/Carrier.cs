namespace Stencilwright.Geometry;

/// <summary>The line or circle on which centres of circles held between parallel or concentric pieces lie.</summary>
/// <param name="Origin">A point of the line, or the circle's centre.</param>
/// <param name="Unit">The line's unit direction.</param>
/// <param name="RadiusMm">The circle's radius; infinite for a line.</param>
internal readonly record struct Carrier(Point2 Origin, Vector2 Unit, double RadiusMm)
{
    private bool IsLine => double.IsPositiveInfinity(RadiusMm);

    /// <summary>Adds the centres at which a circle of a radius just touches a piece: between them it touches none anew.</summary>
    public void AddTouching(List<WidthPiece> pieces, double radiusMm, List<Point2> places)
    {
        foreach (var piece in pieces)
        {
            if (piece.IsLine)
            {
                MeetLine(piece.Segment.Start + (piece.Inward * radiusMm), piece.Segment.Chord.Unit, places);
            }
            else if (!piece.IsCorner)
            {
                // Inside its circle for one that the interior lies within, else outside.
                MeetCircle(piece.Center, Math.Abs(piece.Reach + radiusMm), places);
            }

            MeetCircle(piece.Segment.Start, radiusMm, places);
        }
    }

    private void MeetLine(Point2 from, Vector2 unit, List<Point2> places)
    {
        if (!IsLine)
        {
            CutCircle(Origin, RadiusMm, from, unit, places);
            return;
        }

        var cross = Vector2.Cross(Unit, unit);
        if (Math.Abs(cross) > 1e-9)
        {
            places.Add(Origin + (Unit * (Vector2.Cross(from - Origin, unit) / cross)));
        }
    }

    private void MeetCircle(Point2 center, double radius, List<Point2> places)
    {
        if (IsLine)
        {
            CutCircle(center, radius, Origin, Unit, places);
            return;
        }

        var axis = center - Origin;
        var distance = axis.Length;
        if (distance < 1e-9)
        {
            return;
        }

        var along = ((distance * distance) + (RadiusMm * RadiusMm) - (radius * radius)) / (2 * distance);
        var height2 = (RadiusMm * RadiusMm) - (along * along);
        if (height2 >= 0)
        {
            var unit = axis * (1 / distance);
            var foot = Origin + (unit * along);
            places.Add(foot + (unit.Left * Math.Sqrt(height2)));
            places.Add(foot - (unit.Left * Math.Sqrt(height2)));
        }
    }

    private static void CutCircle(Point2 center, double radius, Point2 from, Vector2 unit, List<Point2> places)
    {
        var along = Vector2.Dot(center - from, unit);
        var height = Vector2.Cross(unit, center - from);
        var half2 = (radius * radius) - (height * height);

        // A line that touches but for rounding touches.
        if (half2 > -1e-9 * radius * radius)
        {
            var half = Math.Sqrt(Math.Max(0, half2));
            places.Add(from + (unit * (along - half)));
            places.Add(from + (unit * (along + half)));
        }
    }
}
