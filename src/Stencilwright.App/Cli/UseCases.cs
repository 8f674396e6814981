using Stencilwright.Cutting.Coupons;
using Stencilwright.Foundation;
using Stencilwright.Workbench;
using Stencilwright.Workbench.Coupons;

namespace Stencilwright.App.Cli;

/// <summary>What the commands call; tests put failing ones in their place.</summary>
/// <param name="Survey">Says what the artwork holds.</param>
/// <param name="Prepare">Does the main job and writes its files.</param>
/// <param name="Coupon">Writes a coupon into a folder.</param>
/// <param name="Calibrate">Fits a calibration and writes the recipe.</param>
internal sealed record UseCases(
    Func<JobRequest, Func<Stream>, IProgress<string>, SurveyResult> Survey,
    Func<JobRequest, Func<Stream>, IProgress<string>, PrepareResult> Prepare,
    Func<JobSettings, CouponPurpose, string, CouponResult> Coupon,
    Func<CalibrateRequest, CalibrateResult> Calibrate)
{
    /// <summary>Those of the Workbench.</summary>
    public static UseCases Real { get; } = new(SurveyUseCase.Run, PrepareUseCase.Run, CouponUseCase.Run, CalibrateUseCase.Run);
}
