using System.CommandLine;
using System.Text;
using Stencilwright.Cutting.Coupons;
using Stencilwright.Foundation;
using Stencilwright.Workbench;
using Stencilwright.Workbench.Coupons;

namespace Stencilwright.App.Cli;

/// <summary>The commands <c>coupon</c> and <c>calibrate</c>.</summary>
internal sealed class CouponCommands
{
    private readonly CommandLineDoor _door;
    private readonly UseCases _useCases;
    private readonly Options _options;
    private readonly Option<bool> _matrix = new("--matrix");
    private readonly Option<string?> _coupon = new("--coupon");
    private readonly Option<string?> _measured = new("--measured");
    private readonly Option<string?> _scan = new("--scan");
    private readonly Option<string?> _dpi = new("--dpi");

    public CouponCommands(CommandLineDoor door, UseCases useCases, Options options)
    {
        _door = door;
        _useCases = useCases;
        _options = options;
        Coupon = With("coupon", [options.Out, _matrix, options.Json, options.Job, options.Set, options.Quiet, options.NoColor], MakeCoupon);
        Calibrate = With("calibrate", [_coupon, _measured, _scan, _dpi, options.Out, options.Json, options.FailOn, options.Quiet, options.NoColor], RunCalibrate);
    }

    public Command Coupon { get; }

    public Command Calibrate { get; }

    private static Command With(string name, Option[] options, Func<ParseResult, int> action)
    {
        var command = new Command(name);
        foreach (var option in options)
        {
            command.Add(option);
        }

        command.SetAction(action);
        return command;
    }

    private int MakeCoupon(ParseResult parsed)
    {
        var terminal = _door.For(parsed);
        if (parsed.GetValue(_options.Out) is not { Length: > 0 } directory)
        {
            terminal.SayUsage("coupon needs --out DIR, the folder to write into.");
            return ExitCodes.Usage;
        }

        if (_door.Settings(parsed, out var code) is not { } settings)
        {
            return code;
        }

        var purpose = parsed.GetValue(_matrix) ? CouponPurpose.PowerSpeed : CouponPurpose.Calibration;
        var result = _useCases.Coupon(settings, purpose, directory);
        var quiet = parsed.GetValue(_options.Quiet);
        Say(terminal, result.Diagnostics, quiet);
        if (result.ExitCode != ExitCodes.Done)
        {
            return result.ExitCode;
        }

        if (parsed.GetValue(_options.Json))
        {
            terminal.Out.Write(Encoding.UTF8.GetString(result.CouponJson.Span));
        }
        else if (!quiet)
        {
            CalibrationTable.Write(result, directory, terminal.Out);
        }

        return result.ExitCode;
    }

    private int RunCalibrate(ParseResult parsed)
    {
        var terminal = _door.For(parsed);
        if (parsed.GetValue(_scan) is not null || parsed.GetValue(_dpi) is not null)
        {
            terminal.SayUsage("calibrate does not read scans yet: measure the coupon by hand, fill in measured.csv, and give it with --measured.");
            return ExitCodes.Usage;
        }

        if (parsed.GetValue(_coupon) is not { Length: > 0 } coupon)
        {
            terminal.SayUsage("calibrate needs --coupon DIR, the folder that `stencilwright coupon` wrote.");
            return ExitCodes.Usage;
        }

        if (parsed.GetValue(_measured) is not { Length: > 0 } measured)
        {
            terminal.SayUsage("calibrate needs --measured FILE.csv, the table of sizes measured on the cut coupon.");
            return ExitCodes.Usage;
        }

        if (!_door.TryFailOn(parsed, out var failOn))
        {
            return ExitCodes.Usage;
        }

        var request = new CalibrateRequest
        {
            CouponDirectory = coupon,
            MeasuredFile = measured,
            RecipeFile = parsed.GetValue(_options.Out) is { Length: > 0 } recipe ? recipe : null,
            FailOn = failOn,
        };
        var result = _useCases.Calibrate(request);
        var quiet = parsed.GetValue(_options.Quiet);
        Say(terminal, result.Diagnostics, quiet);
        if (result.Json.IsEmpty)
        {
            return result.ExitCode;
        }

        if (parsed.GetValue(_options.Json))
        {
            terminal.Out.Write(Encoding.UTF8.GetString(result.Json.Span));
        }
        else if (!quiet)
        {
            CalibrationTable.Write(result.Calibration!, request.RecipeFile, terminal.Out);
        }

        return result.ExitCode;
    }

    private static void Say(Terminal terminal, IEnumerable<Diagnostic> diagnostics, bool quiet)
    {
        foreach (var diagnostic in diagnostics.Where(d => !quiet || d.Severity == Severity.Error))
        {
            terminal.Say(diagnostic);
        }
    }
}
