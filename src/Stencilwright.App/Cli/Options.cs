using System.CommandLine;

namespace Stencilwright.App.Cli;

/// <summary>Arguments and options that commands share.</summary>
internal sealed class Options
{
    public Argument<string[]> Paths { get; } = new("PATH") { Arity = ArgumentArity.OneOrMore };

    public Option<bool> Json { get; } = new("--json");

    public Option<string[]> Job { get; } = Repeatable("--job");

    public Option<string[]> Set { get; } = Repeatable("--set");

    public Option<string[]> Role { get; } = Repeatable("--role");

    public Option<string?> Side { get; } = new("--side");

    public Option<string?> FailOn { get; } = new("--fail-on");

    public Option<string?> Out { get; } = new("--out");

    public Option<string?> Only { get; } = new("--only");

    public Option<string[]> Beside { get; } = Repeatable("--beside");

    public Option<bool> Quiet { get; } = new("--quiet");

    public Option<bool> NoColor { get; } = new("--no-color");

    public void AddTo(Command command, bool writes)
    {
        command.Add(Paths);
        foreach (var option in (Option[])[Json, Job, Set, Role, Side, FailOn, Quiet, NoColor])
        {
            command.Add(option);
        }

        if (writes)
        {
            command.Add(Out);
            command.Add(Only);
            command.Add(Beside);
        }
    }

    private static Option<string[]> Repeatable(string name) => new(name) { Arity = ArgumentArity.OneOrMore, AllowMultipleArgumentsPerToken = false };
}
