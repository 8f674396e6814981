using System.Collections.Immutable;
using System.CommandLine;
using System.CommandLine.Help;
using System.CommandLine.Invocation;
using System.Reflection;
using Stencilwright.Foundation;
using Stencilwright.Workbench;
using Stencilwright.Workbench.Packages;
using Stencilwright.Workbench.Settings;
using Stencilwright.Workbench.Shop;

namespace Stencilwright.App.Cli;

/// <summary>Turns a command line into a request, and what came of it into text and an exit code.</summary>
internal sealed class CommandLineDoor
{
    private static readonly string[] _roles =
    [
        "paste-top", "paste-bottom", "outline", "copper-top", "copper-bottom", "mask-top", "mask-bottom",
        "legend-top", "legend-bottom", "drill-plated", "drill-nonplated", "placement", "ignore",
    ];

    private static readonly string[] _commandNames = ["survey", "prepare", "coupon", "calibrate", "shop", "serve"];

    private static readonly string[] _severities = ["note", "warning", "error", "never"];

    private const int MostNotesAlike = 3;

    private readonly Terminal _terminal;
    private readonly UseCases _useCases;
    private readonly ShopCatalogue _shop;
    private readonly Options _options = new();

    public CommandLineDoor(Terminal terminal, UseCases useCases, ShopCatalogue? shop = null)
    {
        _terminal = terminal;
        _useCases = useCases;
        _shop = shop ?? ShopCatalogue.ShippedOnly;
    }

    /// <summary>The program's version, as the report and <c>--version</c> give it.</summary>
    public static string Version { get; } =
        typeof(CommandLineDoor).Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()?.InformationalVersion ?? "0";

    /// <summary>Runs one command line; never throws.</summary>
    public int Run(IReadOnlyList<string> args)
    {
        try
        {
            return Invoke(args);
        }
        // The last line of defence: a person gets a sentence and scripts get the contract's code, whatever went wrong.
#pragma warning disable CA1031
        catch (Exception fault)
#pragma warning restore CA1031
        {
            _terminal.Error.WriteLine(
                $"stencilwright: error: the program itself failed ({Printable.Text(fault.GetType().Name)}). "
                + "Nothing half-written was left behind. Please report it with the artwork; STENCILWRIGHT_TRACE=1 shows where it happened.");
            if (_terminal.Trace)
            {
                _terminal.Error.WriteLine(Printable.Text(fault.ToString().ReplaceLineEndings("\n  ")).Replace("\\u{A}", "\n", StringComparison.Ordinal));
            }

            return ExitCodes.Fault;
        }
    }

    private int Invoke(IReadOnlyList<string> args)
    {
        if (args.Count == 0)
        {
            _terminal.Error.Write(HelpText.Root(Version));
            return ExitCodes.Usage;
        }

        var root = Commands();
        var parsed = root.Parse(args, new ParserConfiguration { EnablePosixBundling = false, ResponseFileTokenReplacer = null });
        if (UsageError(parsed, root, args) is { } wrong)
        {
            _terminal.SayUsage(wrong);
            return ExitCodes.Usage;
        }

        return parsed.Invoke(new InvocationConfiguration
        {
            EnableDefaultExceptionHandler = false,
            Output = _terminal.Out,
            Error = _terminal.Error,
            // Writers take back what they began by themselves; an interrupt ends the process at once.
            ProcessTerminationTimeout = null,
        });
    }

    private RootCommand Commands()
    {
        var survey = new Command("survey");
        _options.AddTo(survey, writes: false);
        survey.SetAction(Survey);
        var prepare = new Command("prepare");
        _options.AddTo(prepare, writes: true);
        prepare.SetAction(Prepare);
        var coupons = new CouponCommands(this, _useCases, _options);
        var root = new RootCommand { survey, prepare, coupons.Coupon, coupons.Calibrate, new ShopCommands(this, _shop, _options).Shop, new ServeCommand(this, _options).Command };
        root.Directives.Clear();
        foreach (var option in root.Options)
        {
            if (option is HelpOption)
            {
                option.Action = new Print(parsed => HelpText.For(parsed.CommandResult.Command.Name, Version), _terminal.Out);
            }
            else if (option is VersionOption)
            {
                option.Action = new Print(_ => $"stencilwright {Version}\n", _terminal.Out);
            }
        }

        return root;
    }

    // In the words of a person's mistake; the parser's own come last.
    private string? UsageError(ParseResult parsed, RootCommand root, IReadOnlyList<string> args)
    {
        if (parsed.Action is Print)
        {
            return null;
        }

        var command = parsed.CommandResult.Command;
        if (ReferenceEquals(command, root))
        {
            var typed = args.FirstOrDefault(a => !a.StartsWith('-')) ?? args[0];
            var near = Suggestion.For(typed, _commandNames);
            return $"there is no command {typed}{(near is null ? $"; there are {string.Join(", ", _commandNames)}." : $"; did you mean {near}?")}";
        }

        var names = command.Options.Select(o => o.Name).Append("--help").ToArray();
        var paths = command.Arguments.SelectMany(a => parsed.CommandResult.GetResult(a)?.Tokens.Select(t => t.Value) ?? []).ToArray();
        var stray = paths.Concat(parsed.UnmatchedTokens).FirstOrDefault(p => p.Length > 1 && p[0] == '-');
        if (stray is not null)
        {
            var bare = stray.Split('=')[0];
            var near = Suggestion.For(bare, names);
            return $"{command.Name} has no option {bare}{(near is null ? "" : $"; did you mean {near}?")}"
                + (near is null ? "; a file of that name is given as ./" + stray + "." : "");
        }

        return paths.Length == 0 && command.Arguments.Contains(_options.Paths)
            ? $"{command.Name} needs a package, a folder or files to read."
            : parsed.Errors.Count > 0 ? parsed.Errors[0].Message : null;
    }

    private int Survey(ParseResult parsed)
    {
        if (!TryRequest(parsed, out var request, out var code))
        {
            return code;
        }

        var terminal = For(parsed);
        var quiet = parsed.GetValue(_options.Quiet);
        var result = _useCases.Survey(request, terminal.OpenInput, new Progress(terminal, quiet));
        var json = parsed.GetValue(_options.Json);
        SayAll(terminal, result.Diagnostics.Concat(result.Files.SelectMany(f => f.Diagnostics)), result.Findings, quiet ? Severity.Error : Severity.Note);
        if (json)
        {
            SurveyJson.Write(result, terminal.Out);
        }
        else if (!quiet)
        {
            SurveyTable.Write(result, terminal.Out);
        }

        return result.ExitCode;
    }

    private int Prepare(ParseResult parsed)
    {
        var directory = parsed.GetValue(_options.Out);
        if (string.IsNullOrEmpty(directory))
        {
            _terminal.SayUsage("prepare needs --out DIR, the folder to write into.");
            return ExitCodes.Usage;
        }

        OnlyChoice? only = null;
        if (parsed.GetValue(_options.Only) is { } text && (only = OnlyChoice.Parse(text)) is null)
        {
            _terminal.SayUsage($"--only takes names of parts, such as U3,C12, or a rectangle of the board x0,y0,x1,y1 in millimetres, not {text}.");
            return ExitCodes.Usage;
        }

        var beside = parsed.GetValue(_options.Beside) ?? [];
        if (beside.Concat(parsed.GetValue(_options.Paths) ?? []).Count(p => p == PackageReader.StandardInput) > 1)
        {
            _terminal.SayUsage("only one - can be read from standard input; give the other board by its path.");
            return ExitCodes.Usage;
        }

        if (!TryRequest(parsed, out var request, out var code))
        {
            return code;
        }

        var terminal = For(parsed);
        var quiet = parsed.GetValue(_options.Quiet);
        var result = _useCases.Prepare(request with { OutDirectory = directory, Only = only, Beside = [.. beside.Select(p => BoardBeside.At(p, request.Roles))] }, terminal.OpenInput, new Progress(terminal, quiet));
        // Notes on how a file is written are a survey's business; here they would hide what matters.
        SayAll(terminal, result.Diagnostics.Where(d => d.Severity > Severity.Note), result.Findings, quiet ? Severity.Error : Severity.Note);
        if (parsed.GetValue(_options.Json))
        {
            terminal.Out.Write(System.Text.Encoding.UTF8.GetString(result.ReportJson.Span));
        }
        else if (!quiet && result.Job is not null && result.ExitCode is ExitCodes.Done or ExitCodes.DoneWithFindings)
        {
            PrepareSummary.Write(result, directory, terminal.Out);
        }

        return result.ExitCode;
    }

    /// <summary>The terminal, with colours as this command line wants them.</summary>
    public Terminal For(ParseResult parsed) => parsed.GetValue(_options.NoColor) ? _terminal with { ColorAllowed = false } : _terminal;

    private bool TryRequest(ParseResult parsed, out JobRequest request, out int exitCode)
    {
        request = new JobRequest { Paths = [.. parsed.GetValue(_options.Paths) ?? []], Version = Version };
        exitCode = ExitCodes.Usage;
        if (Choice(parsed.GetValue(_options.Side), "--side", ["both", "top", "bottom"]) is not { } side
            || Choice(parsed.GetValue(_options.FailOn) ?? "error", "--fail-on", _severities) is not { } failOn
            || Roles(parsed.GetValue(_options.Role) ?? []) is not { } roles)
        {
            return false;
        }

        if (Settings(parsed, out exitCode) is not { } settings)
        {
            return false;
        }

        request = request with
        {
            Settings = settings,
            Roles = [.. roles],
            Side = side switch { "top" => SideChoice.Top, "bottom" => SideChoice.Bottom, _ => SideChoice.Both },
            FailOn = SeverityOf(failOn),
        };
        return true;
    }

    /// <summary>The least severity that ends in exit code 1; says what is wrong with the option when it is.</summary>
    public bool TryFailOn(ParseResult parsed, out Severity? severity)
    {
        var word = Choice(parsed.GetValue(_options.FailOn) ?? "error", "--fail-on", _severities);
        severity = word is null ? null : SeverityOf(word);
        return word is not null;
    }

    private static Severity? SeverityOf(string word) => word switch
    {
        "note" => Severity.Note,
        "warning" => Severity.Warning,
        "never" => null,
        _ => Severity.Error,
    };

    /// <summary>Settings of job files and single settings; null when something is wrong with them, which is said.</summary>
    public JobSettings? Settings(ParseResult parsed, out int exitCode)
    {
        exitCode = ExitCodes.Done;
        var jobs = new List<SourceText>();
        foreach (var path in parsed.GetValue(_options.Job) ?? [])
        {
            try
            {
                jobs.Add(new SourceText(path, File.ReadAllBytes(path)));
            }
            catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
            {
                _terminal.Say(new Diagnostic(
                    "SET009", Severity.Error, $"this job file cannot be read ({failure.Message.TrimEnd('.')}); check its name.", SourcePlace.Whole(path)));
                exitCode = ExitCodes.BadInput;
                return null;
            }
        }

        var sets = parsed.GetValue(_options.Set) ?? [];
        var settings = SettingsReader.Read(jobs, sets, _shop);
        foreach (var diagnostic in settings.Diagnostics)
        {
            _terminal.Say(diagnostic);
        }

        if (settings.Failed)
        {
            // A wrong --set is a wrong command line; a wrong job file is wrong input.
            exitCode = settings.Diagnostics.Any(d => d.Place.Line > 0) ? ExitCodes.BadInput : ExitCodes.Usage;
            return null;
        }

        return settings.Value;
    }

    private string? Choice(string? given, string option, string[] choices)
    {
        given ??= choices[0];
        if (choices.Contains(given, StringComparer.Ordinal))
        {
            return given;
        }

        var near = Suggestion.For(given, choices);
        _terminal.SayUsage($"{option} takes {string.Join(", ", choices)}, not {given}{(near is null ? "." : $"; did you mean {near}?")}");
        return null;
    }

    private List<(string, string)>? Roles(string[] given)
    {
        var roles = new List<(string, string)>();
        foreach (var one in given)
        {
            var equals = one.LastIndexOf('=');
            if (equals <= 0)
            {
                _terminal.SayUsage($"--role is written FILE=ROLE, not {one}.");
                return null;
            }

            var role = one[(equals + 1)..];
            if (!_roles.Contains(role, StringComparer.Ordinal))
            {
                var near = Suggestion.For(role, _roles);
                _terminal.SayUsage($"there is no role {role}{(near is null ? $"; there are {string.Join(", ", _roles)}." : $"; did you mean {near}?")}");
                return null;
            }

            roles.Add((one[..equals], role));
        }

        return roles;
    }

    private static void SayAll(Terminal terminal, IEnumerable<Diagnostic> diagnostics, ImmutableArray<Finding> findings, Severity least)
    {
        foreach (var diagnostic in diagnostics.Where(d => d.Severity >= least))
        {
            terminal.Say(diagnostic);
        }

        // Many notes alike would hide what matters; all of them stand in the report.
        var seen = new Dictionary<string, int>(StringComparer.Ordinal);
        foreach (var finding in findings.Where(f => f.Severity >= least))
        {
            var count = seen[finding.Code] = seen.GetValueOrDefault(finding.Code) + 1;
            if (finding.Severity > Severity.Note || count <= MostNotesAlike)
            {
                terminal.Say(finding);
            }
        }

        foreach (var (code, count) in seen.Where(s => s.Value > MostNotesAlike && findings.All(f => f.Code != s.Key || f.Severity == Severity.Note)))
        {
            terminal.Error.WriteLine(count - MostNotesAlike == 1 ? $"1 more note {code} is in the report." : $"{count - MostNotesAlike} more notes {code} are in the report.");
        }
    }

    private sealed class Progress(Terminal terminal, bool quiet) : IProgress<string>
    {
        public void Report(string value)
        {
            if (terminal.ErrorIsTerminal && !quiet)
            {
                terminal.Error.WriteLine(Printable.Text(value));
            }
        }
    }

    private sealed class Print(Func<ParseResult, string> text, TextWriter output) : SynchronousCommandLineAction
    {
        public override bool Terminating => true;

        public override bool ClearsParseErrors => true;

        public override int Invoke(ParseResult parseResult)
        {
            output.Write(text(parseResult));
            return ExitCodes.Done;
        }
    }
}
