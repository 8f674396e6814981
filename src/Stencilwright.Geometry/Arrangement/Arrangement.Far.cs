namespace Stencilwright.Geometry.Arranging;

internal sealed partial class Arrangement
{
    /// <summary>Meetings of two prims of which at least one is an arc so flat that its centre says nothing.</summary>
    private void MeetFar(int i, int j, Touches touches)
    {
        if (_prims[i].Turn == 0)
        {
            MeetOn(i, j, j, new(_prims[i].X0, _prims[i].Y0), new(_prims[i].Ux, _prims[i].Uy), touches);
            return;
        }

        if (_prims[j].Turn == 0)
        {
            MeetOn(i, j, i, new(_prims[j].X0, _prims[j].Y0), new(_prims[j].Ux, _prims[j].Uy), touches);
            return;
        }

        var (flat, round) = _prims[i].Radius > _prims[j].Radius ? (i, j) : (j, i);
        if (FormOf(_prims[flat]).TryShare(FormOf(_prims[round]), out var from, out var unit))
            MeetOn(i, j, round, from, unit, touches);
    }

    private void MeetOn(int i, int j, int arc, Point2 from, Vector2 unit, Touches touches)
    {
        FormOf(_prims[arc]).TryMeetLine(from, unit, out var first, out var second, out var gap);
        if (gap < -_tolerance)
            return;

        if (gap <= _tolerance)
        {
            var (x, y) = (from.X + (unit.X * (first + second) / 2), from.Y + (unit.Y * (first + second) / 2));
            if (!TouchesNear(_prims[i], _prims[j], touches, x, y, _prims[arc].Radius))
                Meet(i, j, x, y);

            return;
        }

        Meet(i, j, from.X + (unit.X * first), from.Y + (unit.Y * first));
        Meet(i, j, from.X + (unit.X * second), from.Y + (unit.Y * second));
    }

    private static ArcForm FormOf(in Prim prim) => prim.IsFar
        ? prim.Form
        : new(prim.X0, prim.Y0, prim.X1, prim.Y1,
            prim.Turn * Math.Min(1, 2 * Sagitta(prim.X0, prim.Y0, prim.X1, prim.Y1, prim.CenterX, prim.CenterY, prim.Radius) / prim.Chord));
}
