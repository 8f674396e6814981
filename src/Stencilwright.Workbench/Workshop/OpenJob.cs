using System.Collections.Immutable;
using Stencilwright.Boards.Roles;
using Stencilwright.Cutting;
using Stencilwright.Foundation;
using Stencilwright.Output;
using Stencilwright.Workbench.Shop;

namespace Stencilwright.Workbench.Workshop;

/// <summary>A job that somebody has open: its decisions, what came of them, and the work that is going on.</summary>
/// <remarks>
/// Every change is kept first and worked out after. A change while work goes on stops that work and starts anew; steps whose
/// input did not change are not repeated. All members may be called from any thread.
/// </remarks>
public sealed class OpenJob : IDisposable
{
    /// <summary>What is said when a board that lay beside is gone.</summary>
    public const string BoardLostCode = "PKG112";

    // Up to this many openings one pass, order included, is sooner than a person notices.
    private const int OnePassOpenings = 600;

    private const int LongestLine = 160;

    private static readonly TimeSpan _untilOrdering = TimeSpan.FromMilliseconds(700);

    private readonly JobStore _store;
    private readonly string _version;
    private readonly SemaphoreSlim _gate = new(1);
    private readonly Lock _lock = new();
    private readonly CutMemory _memory = new();
    private CancellationTokenSource _stop = new();
    private (string Key, ImmutableArray<ArtworkFile> Files, ImmutableArray<ImmutableArray<ArtworkFile>> Beside, ImmutableArray<Diagnostic> Said)? _gathered;
    private (string Key, BoardReading Reading)? _read;
    private JobState _state;
    private (JobState State, JobSettings Settings)? _settings;
    private int _holders;
    private bool _isClosed;

    internal OpenJob(JobStore store, string id, string version, ShopCatalogue shop)
    {
        (_store, Id, _version, Shop) = (store, id, version, shop);
        _state = store.Current(id).State;
        Steps = store.Steps(id);
    }

    /// <summary>Raised after anything changed, from any thread.</summary>
    public event EventHandler? Changed;

    /// <summary>The job's name in addresses.</summary>
    public string Id { get; }

    /// <summary>Decisions in force.</summary>
    public JobState State => _state;

    /// <summary>Settings in force; the defaults while something about them is wrong.</summary>
    public JobSettings Settings
    {
        get
        {
            if (_settings is not { } known || !ReferenceEquals(known.State, _state))
            {
                var state = _state;
                _settings = known = (state, WorkshopSettings.Read(state, Shop).Value ?? JobSettings.Default);
            }

            return known.Settings;
        }
    }

    /// <summary>What would be in force if this job did not give that setting itself.</summary>
    public JobSettings SettingsWithout(string name) => WorkshopSettings.Read(_state.With(name, null), Shop).Value ?? JobSettings.Default;

    /// <summary>Things that settings may name.</summary>
    public ShopCatalogue Shop { get; }

    /// <summary>What taking back would take back, and what doing again would do again; null when there is nothing.</summary>
    public (string? Undo, string? Redo) Steps { get; private set; }

    /// <summary>What came of it last; null before the first time. While work goes on it may belong to an earlier revision.</summary>
    public JobResult? Result { get; private set; }

    /// <summary>What is being done; null when nothing is.</summary>
    public JobProgress? Work { get; private set; }

    /// <summary>The fault that ended the work; null when there was none.</summary>
    public Exception? Fault { get; private set; }

    /// <summary>Why the last change could not be kept and so was not made; null when it was.</summary>
    public string? NotKept { get; private set; }

    /// <summary>Changes what was decided, keeps it, and works it out.</summary>
    /// <param name="what">The change in a few words, for taking it back.</param>
    /// <param name="change">From the state in force to the new one.</param>
    public void Change(string what, Func<JobState, JobState> change)
    {
        ArgumentNullException.ThrowIfNull(change);
        bool isSameWork;
        lock (_lock)
        {
            var next = change(_state);
            if (next == _state)
            {
                return;
            }

            NotKept = null;
            // Without another decision that is worked out, what stands there stands.
            isSameWork = next with { Released = _state.Released } == _state;
            try
            {
                _store.Append(Id, what, next);
            }
            catch (IOException failure)
            {
                // What is not kept is not done: the page goes on from what is on the disk.
                NotKept = failure.Message;
            }

            if (NotKept is null)
            {
                (_state, Steps) = (next, _store.Steps(Id));
            }
        }

        if (NotKept is not null)
        {
            TellAgain();
            return;
        }

        if (isSameWork)
        {
            Changed?.Invoke(this, EventArgs.Empty);
        }
        else
        {
            Start();
        }
    }

    /// <summary>Takes the last change back, or does it again.</summary>
    public void Step(bool back)
    {
        lock (_lock)
        {
            try
            {
                NotKept = null;
                if (!_store.Step(Id, back))
                {
                    return;
                }

                Take();
            }
            catch (IOException failure)
            {
                NotKept = failure.Message;
            }
        }

        if (NotKept is not null)
        {
            TellAgain();
            return;
        }

        Start();
    }

    /// <summary>Works it out, from the start of what changed.</summary>
    public void Start()
    {
        CancellationToken stop;
        lock (_lock)
        {
            if (_isClosed)
            {
                return;
            }

            _stop.Cancel();
            _stop.Dispose();
            _stop = new CancellationTokenSource();
            stop = _stop.Token;
        }

        Tell(new JobProgress(Result is null ? JobStep.Reading : JobStep.Designing));
        _ = Task.Run(() => WorkAsync(stop), CancellationToken.None);
    }

    /// <summary>Stops the work; what was there before stays.</summary>
    public void Stop()
    {
        lock (_lock)
        {
            _stop.Cancel();
        }

        if (Work is not null)
        {
            Tell(new JobProgress(JobStep.Stopped));
        }
    }

    /// <summary>Waits until no work goes on, and gives what came of it; null when it was stopped or failed before there was anything.</summary>
    public async Task<JobResult?> SettledAsync(CancellationToken cancellation)
    {
        while (Work is not null and not { Step: JobStep.Stopped })
        {
            var changed = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
            void Told(object? sender, EventArgs e) => changed.TrySetResult();
            Changed += Told;
            try
            {
                if (Work is not null and not { Step: JobStep.Stopped })
                {
                    await changed.Task.WaitAsync(cancellation).ConfigureAwait(false);
                }
            }
            finally
            {
                Changed -= Told;
            }
        }

        return Result;
    }

    /// <summary>The images of all files that are artwork; those not needed so far are worked out now.</summary>
    public async Task<ImmutableArray<DrawnLayer>> LayersAsync(CancellationToken cancellation)
    {
        await _gate.WaitAsync(cancellation).ConfigureAwait(false);
        try
        {
            return await Task.Run(
                () =>
                {
                    var files = Gather(_state, cancellation).Files;
                    ArtworkFile.Paint(files, cancellation);
                    return files.Where(f => f.Image is not null).Select(f => new DrawnLayer(
                        f.Source.Name, f.Role.ToText(), [.. f.Image!.Islands.Select(i => i.Shape)], [.. f.Image.Islands.Select(i => f.Source.PlaceOf(f.Image.Objects[i.Objects[0]].SourceOffset))])).ToImmutableArray();
                },
                cancellation).ConfigureAwait(false);
        }
        finally
        {
            _gate.Release();
        }
    }

    /// <summary>A line of a file of the artwork, shortened to what can be read at a glance; null when there is no such line.</summary>
    /// <param name="file">Its name.</param>
    /// <param name="line">Counted from 1.</param>
    public string? LineOf(string file, int line)
    {
        var source = _gathered?.Files.FirstOrDefault(f => f.Source.Name == file)?.Source;
        if (source is null || line < 1)
        {
            return null;
        }

        var bytes = source.Bytes.Span;
        for (var k = 1; k < line; k++)
        {
            var end = bytes.IndexOf((byte)'\n');
            if (end < 0)
            {
                return null;
            }

            bytes = bytes[(end + 1)..];
        }

        var length = bytes.IndexOf((byte)'\n') is >= 0 and var n ? n : bytes.Length;
        return System.Text.Encoding.UTF8.GetString(bytes[..Math.Min(length, LongestLine)]).TrimEnd('\r');
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        lock (_lock)
        {
            _isClosed = true;
            _stop.Cancel();
            _stop.Dispose();
        }

        _gate.Dispose();
    }

    // Only jobs that name a thing of the shop have anything to follow.
    internal void FollowShop()
    {
        if (!_state.Settings.Keys.Any(k => ShopKinds.ChosenBy(k) is not null))
        {
            return;
        }

        _settings = null;
        Anew();
    }

    // A board of another job is what that job says of it; only jobs that have one beside them have anything to follow.
    internal void FollowBeside()
    {
        if (!_state.Beside.IsEmpty && _gathered is { } known && known.Key != KeyOf(RequestOf(_state, JobSettings.Default)))
        {
            Anew();
        }
    }

    private void Anew()
    {
        // Files of before belong to this job no longer, whether or not the work is stopped.
        Result = Result is { } result ? result with { IsOrdered = false } : null;
        Start();
    }

    internal void TellAgain() => Changed?.Invoke(this, EventArgs.Empty);

    internal int Hold(int by) => Interlocked.Add(ref _holders, by);

    private void Take()
    {
        _state = _store.Current(Id).State;
        Steps = _store.Steps(Id);
    }

    private void Tell(JobProgress? work)
    {
        Work = work;
        Changed?.Invoke(this, EventArgs.Empty);
    }

    private async Task WorkAsync(CancellationToken stop)
    {
        try
        {
            await _gate.WaitAsync(stop).ConfigureAwait(false);
            try
            {
                Fault = null;
                WorkOut(_state, stop);
            }
            finally
            {
                _gate.Release();
            }

            stop.ThrowIfCancellationRequested();
            Tell(null);
        }
        catch (OperationCanceledException)
        {
            // Whoever stopped it has said so, or has started anew.
        }
        catch (ObjectDisposedException)
        {
            // The job was closed meanwhile.
        }
        // A fault of the program must reach the person, whatever it is; the page says so and stays usable.
#pragma warning disable CA1031
        catch (Exception fault)
#pragma warning restore CA1031
        {
            Fault = fault;
            Tell(null);
        }
    }

    private void WorkOut(JobState state, CancellationToken stop)
    {
        var (files, beside, said) = Gather(state, stop);
        var read = WorkshopSettings.Read(state, Shop);
        var rules = WorkshopRules.InForce(state, read.Value ?? JobSettings.Default);
        ImmutableArray<Diagnostic> diagnostics = [.. said, .. read.Diagnostics, .. rules.Diagnostics];
        if (read.Value is not { } settings || rules.Value is null || JobStages.HasError(diagnostics))
        {
            Publish(new JobResult { State = state, Diagnostics = diagnostics, Files = Survey(files) }, stop);
            return;
        }

        Tell(new JobProgress(JobStep.Checking));
        var request = RequestOf(state, settings);
        var board = ReadBoard(files, beside, request, stop);
        diagnostics = diagnostics.AddRange(board.Diagnostics);
        if (JobStages.HasError(diagnostics))
        {
            Publish(new JobResult { State = state, Diagnostics = diagnostics, Findings = board.Board.Findings, Files = Survey(files) }, stop);
            return;
        }

        ImmutableArray<ArtworkFile> all = [.. files, .. beside.SelectMany(f => f)];
        var isLarge = board.Sides.Sum(s => s.Paste.Openings.Length) > OnePassOpenings;
        Tell(new JobProgress(JobStep.Designing));
        var making = new MakingChoice(IsSketch: isLarge, _memory);
        var (job, own) = JobStages.Make(all, board, request, rules.Value, making, stop);
        var result = new JobResult
        {
            State = state,
            Job = job,
            Diagnostics = diagnostics,
            Findings = [.. board.Board.Findings, .. own],
            Files = Survey(files),
            Boards = new([.. board.Sides.SelectMany(s => s.Boards)]),
            IsOrdered = !isLarge,
        };
        Publish(result, stop);
        if (isLarge)
        {
            Tell(new JobProgress(JobStep.Ordering));
            // The browser draws now, often on the same processors, and a person may change something else at once.
            if (stop.WaitHandle.WaitOne(_untilOrdering))
            {
                stop.ThrowIfCancellationRequested();
            }

            (job, own) = JobStages.Make(all, board, request, rules.Value, new MakingChoice(IsSketch: false, _memory) { Designs = [.. job.Sides.Select(s => s.Design)] }, stop);
            Publish(result with { Job = job, Findings = [.. board.Board.Findings, .. own], IsOrdered = true }, stop);
        }

        _store.Keep(Id, DigestOf(job), Thumbnail.Png(job));
    }

    private void Publish(JobResult result, CancellationToken stop)
    {
        stop.ThrowIfCancellationRequested();
        Result = result with { Number = (Result?.Number ?? 0) + 1 };
        if (result.Job is null)
        {
            var why = result.Diagnostics.FirstOrDefault(d => d.Severity == Severity.Error);
            _store.Keep(Id, new JobDigest { Failure = why?.Message ?? "", FailureCode = why?.Code ?? "" }, default);
        }

        Changed?.Invoke(this, EventArgs.Empty);
    }

    private (ImmutableArray<ArtworkFile> Files, ImmutableArray<ImmutableArray<ArtworkFile>> Beside, ImmutableArray<Diagnostic> Said) Gather(JobState state, CancellationToken stop)
    {
        var request = RequestOf(state, JobSettings.Default);
        var key = KeyOf(request);
        if (_gathered is not { } known || known.Key != key)
        {
            stop.ThrowIfCancellationRequested();
            var (files, beside, said) = BoardsTogether.Gather(request, () => Stream.Null);
            (_gathered, _read) = ((key, files, beside, said), null);
        }

        // A frame that lacks a board must not pass for whole.
        var lost = state.Beside.Where(id => _store.Find(id) is null)
            .Select(id => new Diagnostic(BoardLostCode, Severity.Warning, "a board that lay beside this one is no longer there, because its job was deleted; take it back on the page Jobs, or take it out on the page Frame & film.", SourcePlace.Whole(id)));
        return (_gathered!.Value.Files, _gathered.Value.Beside, [.. _gathered.Value.Said, .. lost]);
    }

    // Jobs may share a title, and findings name boards by it.
    private string KeyOf(JobRequest request) => string.Join(
        '\n', request.Beside.Select(b => (Name: b.Id + " " + b.Name, b.Roles)).Prepend((Name: Id, request.Roles)).SelectMany(b => b.Roles.Select(r => r.File + "=" + r.Role).Prepend("/" + b.Name)));

    private BoardReading ReadBoard(ImmutableArray<ArtworkFile> files, ImmutableArray<ImmutableArray<ArtworkFile>> beside, JobRequest request, CancellationToken stop)
    {
        var key = FormattableString.Invariant($"{request.Side} {request.Settings.OutlineGapMm} {request.Settings.Panel} {request.Settings.BoardsAcross} {request.Settings.BoardsUp} {request.Settings.BoardsGapMm}");
        if (_read is not { } known || known.Key != key)
        {
            _read = (key, BoardsTogether.ReadBoards(files, beside, request, stop));
        }

        return _read!.Value.Reading;
    }

    private JobRequest RequestOf(JobState state, JobSettings settings) => new()
    {
        Paths = _store.ArtworkPaths(Id),
        Roles = [.. state.Roles.Select(r => (r.Key, r.Value))],
        Settings = settings.Title.Length > 0 ? settings : settings with { Title = state.Title },
        Side = state.Side,
        Beside = [.. state.Beside.Select(_store.Find).OfType<JobEntry>().Where(j => j.Id != Id)
            .Select(j => new BoardBeside(j.Title, _store.ArtworkPaths(j.Id), [.. _store.Current(j.Id).State.Roles.Select(r => (r.Key, r.Value))]) { Id = j.Id })],
        Changes = state.Changes,
        Version = _version,
    };

    private static ImmutableArray<SurveyFile> Survey(ImmutableArray<ArtworkFile> files) => [.. files.Select(f => SurveyUseCase.Survey(f, null))];

    private static JobDigest DigestOf(Job job)
    {
        var verdicts = job.Sides.SelectMany(s => s.Plan.Openings).ToLookup(o => o.Verdict);
        var board = job.Outline?.Shape.Bounds;
        return new JobDigest
        {
            BoardWidthMm = board?.Width ?? 0,
            BoardHeightMm = board?.Height ?? 0,
            Prints = verdicts[Verdict.Prints].Count(),
            Marginal = verdicts[Verdict.Marginal].Count(),
            WillNotPrint = verdicts[Verdict.WillNotPrint].Count(),
        };
    }
}
