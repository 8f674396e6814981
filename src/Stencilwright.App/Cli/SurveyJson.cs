using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;
using Stencilwright.Foundation;
using Stencilwright.Workbench;

namespace Stencilwright.App.Cli;

/// <summary>Writes a survey for programs, with the keys of format version 1.</summary>
internal static class SurveyJson
{
    private static readonly JsonWriterOptions _options = new() { Indented = true, NewLine = "\n", Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    public static void Write(SurveyResult result, TextWriter output)
    {
        using var bytes = new MemoryStream();
        using (var json = new Utf8JsonWriter(bytes, _options))
        {
            json.WriteStartObject();
            json.WriteNumber("formatVersion", 1);
            json.WriteStartArray("files");
            foreach (var file in result.Files)
            {
                WriteFile(json, file);
            }

            json.WriteEndArray();
            WriteBoard(json, result);
            json.WriteEndObject();
        }

        output.Write(Encoding.UTF8.GetString(bytes.GetBuffer().AsSpan(0, (int)bytes.Length)));
        output.Write('\n');
    }

    private static void WriteFile(Utf8JsonWriter json, SurveyFile file)
    {
        json.WriteStartObject();
        json.WriteString("file", file.File);
        // What is none of the formats has none, so no key says which.
        if (file.Format.Length > 0)
        {
            json.WriteString("format", file.Format);
        }

        json.WriteString("role", file.Role);
        WriteText(json, "units", file.Units);
        if (file.BoundsMm.IsEmpty)
        {
            json.WriteNull("boundsMm");
        }
        else
        {
            json.WriteStartObject("boundsMm");
            json.WriteNumber("minX", Tidy(file.BoundsMm.MinX));
            json.WriteNumber("minY", Tidy(file.BoundsMm.MinY));
            json.WriteNumber("maxX", Tidy(file.BoundsMm.MaxX));
            json.WriteNumber("maxY", Tidy(file.BoundsMm.MaxY));
            json.WriteEndObject();
        }

        json.WriteNumber("featureCount", file.FeatureCount);
        json.WriteNumber("islandCount", file.IslandCount);
        json.WriteNumber("paintedAreaMm2", Tidy(file.PaintedAreaMm2));
        json.WriteStartObject("setAside");
        json.WriteNumber("count", file.SetAside?.Count ?? 0);
        json.WriteNumber("areaMm2", Tidy(file.SetAside?.AreaMm2 ?? 0));
        json.WriteString("why", file.SetAside?.Why ?? "");
        json.WriteEndObject();
        json.WriteStartArray("diagnostics");
        foreach (var diagnostic in file.Diagnostics)
        {
            json.WriteStartObject();
            json.WriteString("severity", Word(diagnostic.Severity));
            json.WriteString("code", diagnostic.Code);
            json.WriteString("message", diagnostic.Message);
            json.WriteNumber("line", diagnostic.Place.Line);
            json.WriteNumber("column", diagnostic.Place.Column);
            json.WriteEndObject();
        }

        json.WriteEndArray();
        json.WriteEndObject();
    }

    private static void WriteBoard(Utf8JsonWriter json, SurveyResult result)
    {
        if (result.Board is not { } board)
        {
            json.WriteNull("board");
            return;
        }

        json.WriteStartObject("board");
        json.WriteNumber("outlineAreaMm2", Tidy(board.AreaMm2));
        json.WriteNumber("widthMm", Tidy(board.WidthMm));
        json.WriteNumber("heightMm", Tidy(board.HeightMm));
        json.WriteNumber("cutoutCount", board.CutoutCount);
        json.WriteEndObject();
    }

    private static void WriteText(Utf8JsonWriter json, string name, string? value)
    {
        if (value is null)
        {
            json.WriteNull(name);
        }
        else
        {
            json.WriteString(name, value);
        }
    }

    private static string Word(Severity severity) => severity switch { Severity.Error => "error", Severity.Warning => "warning", _ => "note" };

    // Nine decimals are a thousandth of a nanometre: noise of the last bits goes, nothing measurable does. Also turns -0 into 0.
    private static double Tidy(double value) => Math.Round(value, 9) + 0.0;
}
