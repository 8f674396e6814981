using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Placement;

/// <summary>Turns rows into parts in millimetres.</summary>
internal sealed class PlacementParts
{
    private readonly PlacementTable _table;
    private readonly TextLines _text;
    private readonly DiagnosticSink _sink;
    private readonly ReadLimits _limits;
    private readonly PlacementStatements _statements;
    private readonly TableColumn _x;
    private readonly TableColumn _y;
    private CommaMeaning _comma;
    private int _sidesUnknown;
    private SourcePlace _sideUnknownAt;
    private string _sideUnknown = "";

    public PlacementParts(PlacementTable table, TextLines text, DiagnosticSink sink, ReadLimits limits, PlacementStatements statements)
    {
        (_table, _text, _sink, _limits, _statements) = (table, text, sink, limits, statements);
        (_x, _y) = (table.Find(ColumnKind.X)!.Value, table.Find(ColumnKind.Y)!.Value);
    }

    private readonly record struct Length(double Number, ListUnit? Unit);

    private readonly record struct Placed(PlacementRow Row, Length X, Length Y);

    /// <summary>The parts in the list's order.</summary>
    /// <param name="rows">Rows with all their cells.</param>
    /// <param name="unit">The unit of most of their numbers.</param>
    /// <param name="isAssumed">True when nothing stated it.</param>
    public ImmutableArray<PlacedPart> Make(List<PlacementRow> rows, out ArtworkUnit unit, out bool isAssumed)
    {
        _comma = MeaningOfCommas(rows);
        var placed = Numbers(rows);
        var fallback = UnitOf(placed, out isAssumed);
        unit = placed.Count > 0 ? (placed[0].X.Unit ?? fallback).Artwork : fallback.Artwork;
        SayOtherColumns(placed);
        var parts = ImmutableArray.CreateBuilder<PlacedPart>(placed.Count);
        foreach (var one in placed)
        {
            if (PartOf(one, fallback) is { } part)
            {
                parts.Add(part);
            }
        }

        SaySides(parts.Count);
        SayTwins(parts);
        return parts.ToImmutable();
    }

    private static Cell CellOf(in PlacementRow row, TableColumn column) => row.Cells[column.Index];

    private CommaMeaning MeaningOfCommas(List<PlacementRow> rows)
    {
        var (commas, inThrees, points) = (0, 0, 0);
        PlacementRow first = default;
        foreach (var row in rows)
        {
            foreach (var column in (ReadOnlySpan<TableColumn>)[_x, _y])
            {
                if (!NumberText.TrySplit(CellOf(row, column).Text, out var digits, out _))
                {
                    continue;
                }

                points += digits.Contains('.') ? 1 : 0;
                var at = digits.LastIndexOf(',');
                if (at >= 0)
                {
                    first = commas++ == 0 ? row : first;
                    inThrees += digits.Length - at == 4 && digits[..at].TrimStart("+-−0").Length is >= 1 and <= 3 ? 1 : 0;
                }
            }
        }

        if (commas == 0 || (points > 0 && inThrees < commas))
        {
            return CommaMeaning.Decimal;
        }

        if (points > 0)
        {
            return CommaMeaning.Thousands;
        }

        if (inThrees == commas)
        {
            _sink.Warn(PlacementCodes.CommaDoubtful, _text.PlaceOf(first.Line, CellOf(first, _x).Start),
                "Does the comma in the coordinates part decimals or thousands? It was taken as the decimal sign, because no coordinate has a decimal point; if it parts thousands, save the list without them.");
        }

        return CommaMeaning.Decimal;
    }

    private List<Placed> Numbers(List<PlacementRow> rows)
    {
        var placed = new List<Placed>(rows.Count);
        foreach (var row in rows)
        {
            var reference = CellOf(row, _table.Find(ColumnKind.Reference)!.Value);
            if (reference.Text.Length == 0)
            {
                _sink.Warn(PlacementCodes.LineLeftOut, _text.PlaceOf(row.Line, 0), "The line names no part and was left out; give the part's reference or remove the line.");
                continue;
            }

            if (TryLength(row, _x, out var x) && TryLength(row, _y, out var y))
            {
                placed.Add(new Placed(row, x, y));
            }
        }

        return placed;
    }

    private bool TryLength(in PlacementRow row, TableColumn column, out Length length)
    {
        var cell = CellOf(row, column);
        if (NumberText.TrySplit(cell.Text, out var digits, out var unit) && NumberText.TryRead(digits, _comma, out var number))
        {
            length = new Length(number, unit ?? column.Meaning.Unit);
            return true;
        }

        length = default;
        var what = cell.Text.Length == 0 ? "is missing" : $"'{DiagnosticSink.Shown(cell.Text)}' is no number";
        _sink.Warn(PlacementCodes.LineLeftOut, _text.PlaceOf(row.Line, cell.Start),
            $"The {PlacementReader.Words(column.Meaning.Kind)} of '{DiagnosticSink.Shown(CellOf(row, _table.Find(ColumnKind.Reference)!.Value).Text)}' {what}, so the part was left out; correct the line.");
        return false;
    }

    // Stated with the number, in the column's name, or in a comment; otherwise told from the extent of the places.
    private ListUnit UnitOf(List<Placed> placed, out bool isAssumed)
    {
        isAssumed = false;
        var stated = _x.Meaning.Unit ?? _y.Meaning.Unit;
        if (_statements.Unit is { } unit)
        {
            if (stated is { } other && other != unit)
            {
                _sink.Warn(PlacementCodes.UnitConflict, _text.PlaceOf(_text.Lines[_statements.UnitLine], 0), $"A comment says {unit.Name} and the columns' names say {other.Name}; {other.Name} was taken because it stands with the numbers. Correct whichever is wrong.");
            }

            return unit;
        }

        var box = Bounds2.Empty;
        var isWhole = true;
        foreach (var one in placed)
        {
            if (one.X.Unit is null || one.Y.Unit is null)
            {
                box = box.Include(new Point2(one.X.Number, one.Y.Number));
                isWhole &= one.X.Number == Math.Floor(one.X.Number) && one.Y.Number == Math.Floor(one.Y.Number);
            }
        }

        if (box.IsEmpty)
        {
            return stated ?? ListUnit.Millimetre;
        }

        isAssumed = true;
        return Assume(Math.Max(box.Width, box.Height), isWhole, placed.Count);
    }

    private ListUnit Assume(double extent, bool isWhole, int count)
    {
        // Boards that anybody stencils by hand measure 5 to 500 mm (common practice, no source).
        const double Least = 5;
        const double Largest = 500;
        var isMil = extent > Largest || (isWhole && extent * ListUnit.Mil.Millimetres >= Least);
        var unit = isMil ? ListUnit.Mil : ListUnit.Millimetre;
        var isOnlyOne = isMil ? extent > Largest : extent * Lengths.MillimetresPerInch > Largest && extent * ListUnit.Mil.Millimetres < Least;
        var size = extent * unit.Millimetres;
        var why = count < 2
            ? "because most lists are in millimetres"
            : string.Create(CultureInfo.InvariantCulture, $"because the parts then lie within {size:0.#} mm{(isOnlyOne ? ", and with any other unit the board would be far too large or too small" : isMil ? " and every number is whole" : "")}");
        _sink.Add(
            PlacementCodes.UnitAssumed,
            isOnlyOne ? Severity.Note : Severity.Warning,
            _table.HeaderIndex >= 0 ? _text.PlaceOf(_text.Lines[_table.HeaderIndex], 0) : _sink.Whole,
            $"In which unit are the coordinates? The list does not say; {unit.Name} was taken, {why}. If that is wrong, name the unit in the header, such as 'X (mm)', or in a line above it: '# Units: {(isMil ? "mm" : "mil")}'.");
        return unit;
    }

    private PlacedPart? PartOf(in Placed placed, ListUnit fallback)
    {
        var row = placed.Row;
        var reference = CellOf(row, _table.Find(ColumnKind.Reference)!.Value);
        var place = _text.PlaceOf(row.Line, reference.Start);
        var at = new Point2(placed.X.Number * (placed.X.Unit ?? fallback).Millimetres, placed.Y.Number * (placed.Y.Unit ?? fallback).Millimetres);
        if (Math.Abs(at.X) > _limits.MaxCoordinateMm || Math.Abs(at.Y) > _limits.MaxCoordinateMm)
        {
            _sink.Error(PlacementCodes.FarAway, _text.PlaceOf(row.Line, CellOf(row, _x).Start), string.Create(CultureInfo.InvariantCulture,
                $"'{DiagnosticSink.Shown(reference.Text)}' lies further out than any board ({at.X:0}, {at.Y:0} mm) and was left out; check the unit and the line."));
            return null;
        }

        return new PlacedPart
        {
            Reference = reference.Text,
            At = at,
            RotationDeg = RotationOf(row),
            IsTop = SideOf(row),
            Value = TextOf(row, ColumnKind.Value),
            Package = TextOf(row, ColumnKind.Package),
            Place = place,
        };
    }

    private string? TextOf(in PlacementRow row, ColumnKind kind) =>
        _table.Find(kind) is { } column && CellOf(row, column).Text is { Length: > 0 } text ? text : null;

    private double? RotationOf(in PlacementRow row)
    {
        if (_table.Find(ColumnKind.Rotation) is not { } column || CellOf(row, column) is not { Text.Length: > 0 } cell)
        {
            return null;
        }

        if (NumberText.TryAngle(cell.Text, CommaMeaning.Decimal, out var degrees))
        {
            return degrees;
        }

        _sink.Warn(PlacementCodes.RotationUnread, _text.PlaceOf(row.Line, cell.Start), $"The rotation '{DiagnosticSink.Shown(cell.Text)}' is no number of degrees and is taken as unknown; correct the line.");
        return null;
    }

    private bool? SideOf(in PlacementRow row)
    {
        if (_table.Find(ColumnKind.Side) is { } column)
        {
            var cell = CellOf(row, column);
            if (SideWords.Read(cell.Text) is { } isTop)
            {
                return isTop;
            }

            if (_sidesUnknown++ == 0)
            {
                (_sideUnknownAt, _sideUnknown) = (_text.PlaceOf(row.Line, cell.Start), cell.Text);
            }

            return null;
        }

        return _table.Find(ColumnKind.Mirror) is { } mirror ? !SideWords.IsMirrored(CellOf(row, mirror).Text) : _statements.IsTop;
    }

    private void SaySides(int count)
    {
        if (_sidesUnknown > 0)
        {
            _sink.Warn(PlacementCodes.SideUnknown, _sideUnknownAt, string.Create(CultureInfo.InvariantCulture,
                $"The side of {_sidesUnknown} parts is not known: '{DiagnosticSink.Shown(_sideUnknown)}' was understood neither as top nor as bottom; write Top or Bottom."));
        }
        else if (count > 0 && _table.Find(ColumnKind.Side) is null && _table.Find(ColumnKind.Mirror) is null && _statements.IsTop is null)
        {
            _sink.Note(PlacementCodes.SideUnknown, _sink.Whole, "No column gives the side that parts sit on; if the board has parts on both, add a column 'Side' with Top or Bottom.");
        }
    }

    private void SayTwins(ImmutableArray<PlacedPart>.Builder parts)
    {
        var seen = new HashSet<string>(parts.Count, StringComparer.Ordinal);
        PlacedPart? first = null;
        var count = 0;
        foreach (var part in parts)
        {
            if (!seen.Add(part.Reference))
            {
                first ??= part;
                count++;
            }
        }

        if (first is not null)
        {
            _sink.Note(PlacementCodes.ReferenceTwice, first.Place, string.Create(CultureInfo.InvariantCulture,
                $"{count} lines name a part that stands above already, the first of them '{DiagnosticSink.Shown(first.Reference)}'; all were kept. If the list is of a panel, give that of one board."));
        }
    }

    // Columns of another origin: the part's chosen zero point or its first pin.
    private void SayOtherColumns(List<Placed> placed)
    {
        foreach (var (column, isX) in (ReadOnlySpan<(TableColumn, bool)>)[(_x, true), (_y, false)])
        {
            foreach (var other in _table.All(column.Meaning.Kind).Where(c => c.Index != column.Index))
            {
                var differ = placed.Count(p => NumberText.TrySplit(CellOf(p.Row, other).Text, out var digits, out _) && NumberText.TryRead(digits, _comma, out var number)
                    && number != (isX ? p.X : p.Y).Number);
                if (differ > 0 && other.Meaning.Rank > column.Meaning.Rank && _sink.IsFirst($"other {other.Meaning.Rank}"))
                {
                    _sink.Note(PlacementCodes.ColumnDoubtful, _text.PlaceOf(_text.Lines[_table.HeaderIndex], 0), string.Create(CultureInfo.InvariantCulture,
                        $"Parts have several places: '{DiagnosticSink.Shown(column.Name)}' was taken as their middle, and '{DiagnosticSink.Shown(other.Name)}', which differs for {differ} of them, was not. To choose the other, remove the first column."));
                }
            }
        }
    }
}
