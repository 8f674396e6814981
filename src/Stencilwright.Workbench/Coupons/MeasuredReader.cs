using System.Collections.Immutable;
using System.Text;
using Stencilwright.Cutting.Coupons;
using Stencilwright.Foundation;

namespace Stencilwright.Workbench.Coupons;

/// <summary>The readings of a table.</summary>
/// <param name="Readings">In the table's order; empty lines and empty cells left out.</param>
public sealed record MeasuredTable(ImmutableArray<CouponReading> Readings);

/// <summary>Reads a table of sizes measured by hand, with the header <c>id,widthMm,heightMm</c>.</summary>
/// <remarks>
/// Cells are parted by commas, or by semicolons or tabs as spreadsheets of some languages save them; then the decimal sign may
/// be a comma. Lines that begin with # are remarks. A size is millimetres, or a number with a unit; <c>0</c> or <c>torn</c>
/// for what did not open or whose film tore, <c>open</c> for what opened and was not measured, nothing for what was not looked at.
/// An id with <c>:slug</c> behind it means what fell out of the opening.
/// </remarks>
public static class MeasuredReader
{
    private const int MostMessages = 20;
    private const string Slug = ":slug";

    /// <summary>Reads a table.</summary>
    /// <param name="file">The table.</param>
    /// <param name="features">What the coupon holds.</param>
    /// <returns>The readings, and a diagnostic PKG104 to PKG107 with line and column for everything that cannot be used.</returns>
    public static Outcome<MeasuredTable> Read(SourceText file, ImmutableArray<CouponFeature> features)
    {
        ArgumentNullException.ThrowIfNull(file);
        return new Work(file, features).Run();
    }

    private sealed class Work(SourceText file, ImmutableArray<CouponFeature> features)
    {
        private readonly Dictionary<string, CouponFeature> _features = features.ToDictionary(f => f.Id, StringComparer.OrdinalIgnoreCase);
        private readonly ImmutableArray<CouponReading>.Builder _readings = ImmutableArray.CreateBuilder<CouponReading>();
        private readonly List<Diagnostic> _said = [];
        private char _separator = ',';
        private int _id = -1;
        private int _width = -1;
        private int _height = -1;
        private int _columns;

        public Outcome<MeasuredTable> Run()
        {
            var bytes = file.Bytes.Span;
            var hasHeader = false;
            for (var at = bytes.StartsWith((ReadOnlySpan<byte>)[0xEF, 0xBB, 0xBF]) ? 3 : 0; at < bytes.Length && _said.Count < MostMessages;)
            {
                var end = bytes[at..].IndexOfAny((byte)'\n', (byte)'\r') is var found and >= 0 ? at + found : bytes.Length;
                var line = bytes[at..end];
                if (!line.Trim((byte)' ').IsEmpty && line.TrimStart((byte)' ')[0] != (byte)'#' && !IsEmptyRow(line))
                {
                    if (hasHeader)
                    {
                        Row(line, at);
                    }
                    else if (!Header(line, at))
                    {
                        break;
                    }

                    hasHeader = true;
                }

                at = end + 1;
            }

            if (!hasHeader && _said.Count == 0)
            {
                Say("PKG104", 0, "the table is empty; it begins with the line id,widthMm,heightMm.");
            }

            return new Outcome<MeasuredTable>(new MeasuredTable(_readings.ToImmutable()), [.. _said]);
        }

        // A spreadsheet saves empty rows as separators alone.
        private static bool IsEmptyRow(ReadOnlySpan<byte> line) => line.IndexOfAnyExcept(", ;\t"u8) < 0;

        private bool Header(ReadOnlySpan<byte> line, int at)
        {
            _separator = line.Contains((byte)';') ? ';' : line.Contains((byte)'\t') ? '\t' : ',';
            var cells = Cells(line, at);
            _columns = cells.Count;
            for (var i = 0; i < cells.Count; i++)
            {
                switch (cells[i].Text.ToUpperInvariant())
                {
                    case "ID":
                        _id = i;
                        break;
                    case "WIDTHMM":
                        _width = i;
                        break;
                    case "HEIGHTMM":
                        _height = i;
                        break;
                    default:
                        break;
                }
            }

            if (_id >= 0 && _width >= 0 && _height >= 0)
            {
                return true;
            }

            Say("PKG104", at, "the first line must name the columns id,widthMm,heightMm.");
            return false;
        }

        private void Row(ReadOnlySpan<byte> line, int at)
        {
            var cells = Cells(line, at);
            if (cells.Count > _columns && cells.Skip(_columns).Any(c => c.Text.Length > 0))
            {
                Say("PKG107", cells[_columns].At, $"this line has {cells.Count} cells where the header names {_columns}; write decimals with a point, 1.25, or part the cells with semicolons.");
                return;
            }

            var id = Cell(cells, _id, at);
            var isSlug = id.Text.EndsWith(Slug, StringComparison.OrdinalIgnoreCase);
            var name = isSlug ? id.Text[..^Slug.Length].TrimEnd() : id.Text;
            if (!_features.TryGetValue(name, out var feature))
            {
                var near = Suggestion.For(name, _features.Keys.Order(StringComparer.Ordinal));
                Say("PKG106", id.At, name.Length == 0
                    ? "this line has no id; write the one scored beside the feature."
                    : $"the coupon has no feature {name}{(near is null ? "; write the id scored beside it." : $"; did you mean {near}?")}");
                return;
            }

            if (isSlug && feature.Kind is FeatureKinds.RulerX or FeatureKinds.RulerY or FeatureKinds.DiagonalA or FeatureKinds.DiagonalB)
            {
                Say("PKG106", id.At, $"{feature.Id} has two holes and no slug of its own; measure it over the far edges of its holes.");
                return;
            }

            var (width, widthOpen) = Size(Cell(cells, _width, at));
            var (height, heightOpen) = Size(Cell(cells, _height, at));
            if (width is not null || height is not null || widthOpen || heightOpen)
            {
                _readings.Add(new CouponReading
                {
                    Id = feature.Id,
                    WidthMm = width,
                    HeightMm = height,
                    IsOpen = widthOpen || heightOpen,
                    IsSlug = isSlug,
                    Place = file.PlaceOf(id.At),
                });
            }
        }

        private (double? Mm, bool IsOpen) Size((string Text, int At) cell)
        {
            var text = cell.Text;
            if (text.Length == 0)
            {
                return (null, false);
            }

            if (text.Equals("open", StringComparison.OrdinalIgnoreCase))
            {
                return (null, true);
            }

            if (text.Equals("torn", StringComparison.OrdinalIgnoreCase))
            {
                return (0, false);
            }

            if (_separator != ',')
            {
                text = text.Replace(',', '.');
            }

            if (Lengths.TryParse(text, out var mm) && mm is >= 0 and < 1000)
            {
                return (mm, false);
            }

            Say("PKG105", cell.At, $"\"{cell.Text}\" is no size in millimetres between 0 and 1000; write a number such as 1.25, 0 or torn for what did not open, open for what did, or nothing.");
            return (null, false);
        }

        private static (string Text, int At) Cell(List<(string Text, int At)> cells, int index, int lineAt) =>
            index < cells.Count ? cells[index] : ("", cells.Count > 0 ? cells[^1].At : lineAt);

        private List<(string Text, int At)> Cells(ReadOnlySpan<byte> line, int at)
        {
            var cells = new List<(string, int)>();
            for (var from = 0; from <= line.Length;)
            {
                var length = line[from..].IndexOf((byte)_separator) is var found and >= 0 ? found : line.Length - from;
                var cell = line.Slice(from, length);
                var spaces = cell.Length - cell.TrimStart(" \t"u8).Length;
                cells.Add((Encoding.UTF8.GetString(cell).Trim().Trim('"').Trim(), at + from + (spaces == cell.Length ? 0 : spaces)));
                from += length + 1;
            }

            return cells;
        }

        private void Say(string code, int at, string message) => _said.Add(new Diagnostic(code, Severity.Error, message, file.PlaceOf(at)));
    }
}
