using System.Collections.Immutable;
using System.Security;
using Stencilwright.Cutting.Coupons;
using Stencilwright.Foundation;
using Stencilwright.Output.Coupons;
using Stencilwright.Workbench.Files;

namespace Stencilwright.Workbench.Coupons;

/// <summary>What a person asks to have fitted.</summary>
public sealed record CalibrateRequest
{
    /// <summary>Folder with <c>coupon.json</c>.</summary>
    public required string CouponDirectory { get; init; }

    /// <summary>Table of readings.</summary>
    public required string MeasuredFile { get; init; }

    /// <summary>Recipe to write; null writes none.</summary>
    public string? RecipeFile { get; init; }

    /// <summary>The least severity of a diagnostic that ends in exit code 1; null for never.</summary>
    public Severity? FailOn { get; init; } = Severity.Error;
}

/// <summary>What became of a calibration.</summary>
public sealed record CalibrateResult
{
    /// <summary>The calibration; null when the readings do not give one.</summary>
    public Calibration? Calibration { get; init; }

    /// <summary>Statements about files and readings.</summary>
    public ImmutableArray<Diagnostic> Diagnostics { get; init; } = [];

    /// <summary>The calibration for programs; empty when there is none.</summary>
    public ReadOnlyMemory<byte> Json { get; init; }

    /// <summary>The contract's exit code.</summary>
    public required int ExitCode { get; init; }
}

/// <summary>Fits kerf, scale and skew from a cut coupon, and keeps them as a recipe.</summary>
public static class CalibrateUseCase
{
    /// <summary>Reads coupon and readings, fits, and writes the recipe if asked.</summary>
    public static CalibrateResult Run(CalibrateRequest request)
    {
        ArgumentNullException.ThrowIfNull(request);
        var diagnostics = ImmutableArray.CreateBuilder<Diagnostic>();
        var coupon = Load(Path.Combine(request.CouponDirectory, "coupon.json"), "PKG100", "--coupon names the folder that `stencilwright coupon` wrote", diagnostics);
        var table = Load(request.MeasuredFile, "PKG103", "--measured names a table id,widthMm,heightMm; coupon writes one to fill in, measured.csv", diagnostics);
        if (coupon is null || table is null)
        {
            return Bad(diagnostics);
        }

        var features = CouponReader.Read(coupon);
        diagnostics.AddRange(features.Diagnostics);
        if (features.Failed)
        {
            return Bad(diagnostics);
        }

        var readings = MeasuredReader.Read(table, features.Value!.Features);
        diagnostics.AddRange(readings.Diagnostics);
        if (readings.Failed)
        {
            return Bad(diagnostics);
        }

        var fit = CalibrationFit.Fit(features.Value.Features, readings.Value!.Readings, table.Name);
        diagnostics.AddRange(fit.Diagnostics);
        if (fit.Value is not { } calibration)
        {
            return Bad(diagnostics);
        }

        if (request.RecipeFile is { } recipe)
        {
            var failures = Write(recipe, CalibrationFiles.Recipe(calibration, Path.GetFileName(request.MeasuredFile)));
            if (!failures.IsEmpty)
            {
                return new CalibrateResult { Calibration = calibration, Diagnostics = [.. diagnostics, .. failures], ExitCode = ExitCodes.NotWritten };
            }
        }

        return new CalibrateResult
        {
            Calibration = calibration,
            Diagnostics = diagnostics.ToImmutable(),
            Json = CalibrationFiles.Json(calibration),
            ExitCode = request.FailOn is { } least && diagnostics.Any(d => d.Severity >= least) ? ExitCodes.DoneWithFindings : ExitCodes.Done,
        };
    }

    private static ImmutableArray<Diagnostic> Write(string path, byte[] bytes)
    {
        var name = Path.GetFileName(path);
        return name.Length == 0 || name is "." or ".."
            ? [new Diagnostic("PKG108", Severity.Error, "this is a folder; --out of calibrate names the recipe file itself, such as recipe.toml.", SourcePlace.Whole(path))]
            : FolderWriter.WriteAll(Path.GetDirectoryName(path) is { Length: > 0 } folder ? folder : ".", [(name, bytes)]);
    }

    private static CalibrateResult Bad(ImmutableArray<Diagnostic>.Builder diagnostics) =>
        new() { Diagnostics = diagnostics.ToImmutable(), ExitCode = ExitCodes.BadInput };

    private static SourceText? Load(string path, string code, string remedy, ImmutableArray<Diagnostic>.Builder diagnostics)
    {
        try
        {
            return new SourceText(path, File.ReadAllBytes(path));
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException or SecurityException or NotSupportedException or ArgumentException)
        {
            diagnostics.Add(new Diagnostic(code, Severity.Error, $"cannot be read ({failure.Message.TrimEnd('.')}); {remedy}.", SourcePlace.Whole(path)));
            return null;
        }
    }
}
