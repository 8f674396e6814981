using System.Collections.Immutable;
using Stencilwright.Cutting.Coupons;
using Stencilwright.Foundation;
using Stencilwright.Output.Coupons;
using Stencilwright.Output.Machine;
using Stencilwright.Workbench.Files;

namespace Stencilwright.Workbench.Coupons;

/// <summary>What became of a coupon.</summary>
public sealed record CouponResult
{
    /// <summary>The coupon; null when it could not be made.</summary>
    public Coupon? Coupon { get; init; }

    /// <summary>Statements about the settings and about writing.</summary>
    public ImmutableArray<Diagnostic> Diagnostics { get; init; } = [];

    /// <summary>Names written below the output directory.</summary>
    public ImmutableArray<string> WrittenFiles { get; init; } = [];

    /// <summary>The bytes of <c>coupon.json</c>; empty when nothing was written.</summary>
    public ReadOnlyMemory<byte> CouponJson { get; init; }

    /// <summary>The contract's exit code.</summary>
    public required int ExitCode { get; init; }
}

/// <summary>Lays out a coupon and writes its files.</summary>
public static class CouponUseCase
{
    /// <summary>Makes a coupon.</summary>
    /// <param name="settings">Film, power and speeds.</param>
    /// <param name="purpose">Which coupon.</param>
    /// <param name="directory">Where to write; made when it does not exist.</param>
    public static CouponResult Run(JobSettings settings, CouponPurpose purpose, string directory)
    {
        ArgumentNullException.ThrowIfNull(settings);
        var designed = purpose == CouponPurpose.Calibration ? CouponDesigner.Design(settings) : CouponDesigner.DesignMatrix(settings);
        if (designed.Value is not { } coupon)
        {
            return new CouponResult { Diagnostics = designed.Diagnostics, ExitCode = ExitCodes.BadInput };
        }

        ImmutableArray<Diagnostic> said =
        [
            .. designed.Diagnostics,
            .. MachineFindings.Of(coupon.Sheet, CouponFiles.OfMachine(settings)).Select(f => new Diagnostic(f.Code, f.Severity, f.Message, SourcePlace.Whole("coupon"))),
        ];
        if (said.Any(d => d.Severity == Severity.Error))
        {
            return new CouponResult { Diagnostics = said, ExitCode = ExitCodes.BadInput };
        }

        var files = CouponFiles.Write(coupon, settings);
        var failures = FolderWriter.WriteAll(directory, [.. files.Select(f => (f.Path, f.Bytes))]);
        if (!failures.IsEmpty)
        {
            return new CouponResult { Coupon = coupon, Diagnostics = failures, ExitCode = ExitCodes.NotWritten };
        }

        var stale = FolderWriter.LeftFromBefore(directory, CouponFiles.Names, files.Select(f => f.Path));
        return new CouponResult
        {
            Coupon = coupon,
            Diagnostics = [.. said, .. stale.Select(name => new Diagnostic(
                "PKG109", Severity.Warning, "this file is left from another coupon and does not belong to this one; remove it when you no longer need it.", SourcePlace.Whole(Path.Combine(directory, name))))],
            WrittenFiles = [.. files.Select(f => f.Path)],
            CouponJson = files[0].Bytes,
            ExitCode = ExitCodes.Done,
        };
    }
}
