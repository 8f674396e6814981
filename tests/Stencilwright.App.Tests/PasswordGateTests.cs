using System.Net;
using Stencilwright.App.Web;
using Stencilwright.App.Web.Safety;
using Stencilwright.Workbench.Workshop;
using Xunit;

namespace Stencilwright.App.Tests;

/// <summary>
/// Who gets past the password, for how long, and how fast it can be guessed. Sources: OWASP cheat sheets on session management
/// and on authentication (from memory).
/// </summary>
public sealed class PasswordGateTests : IDisposable
{
    private const string Right = "correct horse battery";

    private readonly string _folder = Directory.CreateTempSubdirectory("gate-").FullName;
    private readonly JobStore _store;
    private readonly Clock _clock = new();
    private readonly PasswordGate _gate;

    public PasswordGateTests()
    {
        var folder = new WorkshopFolder(_folder);
        _store = new JobStore(folder);
        _gate = new PasswordGate(_store, new ServerChoice(IPAddress.Any, 0, folder, "test"), _clock);
        Assert.True(_gate.TrySet(Right));
    }

    public void Dispose()
    {
        _gate.Dispose();
        _store.Dispose();
        Directory.Delete(_folder, recursive: true);
    }

    [Fact]
    public async Task A_password_that_is_forgotten_ends_every_entry_and_the_next_begins_anew()
    {
        var token = await _gate.EnterAsync(Right, Stop);
        var stay = _gate.StayOf(token)!.Value;
        _gate.Reset();
        Assert.True(stay.IsCancellationRequested);
        Assert.False(_gate.Knows(token));
        Assert.False(_gate.IsSet);
        Assert.True(_gate.TrySet("another horse battery"));
        Assert.NotNull(await _gate.EnterAsync("another horse battery", Stop));
        Assert.True(_gate.IsSet);
    }

    [Fact]
    public async Task Leaving_ends_what_was_opened_with_one_token_and_nothing_of_another()
    {
        var (one, other) = (await _gate.EnterAsync(Right, Stop), await _gate.EnterAsync(Right, Stop));
        Assert.NotEqual(one, other);
        var (stay, others) = (_gate.StayOf(one)!.Value, _gate.StayOf(other)!.Value);
        _gate.Leave(one);
        Assert.True(stay.IsCancellationRequested);
        Assert.False(_gate.Knows(one));
        Assert.False(others.IsCancellationRequested);
        Assert.True(_gate.Knows(other));
        _gate.Leave(one);
        _gate.Leave(null);
        _gate.Leave("");
    }

    [Fact]
    public async Task A_token_runs_out_after_half_a_day_and_ends_what_is_still_open()
    {
        var token = await _gate.EnterAsync(Right, Stop);
        var stay = _gate.StayOf(token)!.Value;
        _clock.Pass(TimeSpan.FromHours(11.9));
        Assert.True(_gate.Knows(token));
        _clock.Pass(TimeSpan.FromHours(0.2));
        Assert.False(_gate.Knows(token));
        Assert.True(stay.IsCancellationRequested);
    }

    [Fact]
    public async Task Wrong_passwords_wait_for_one_another_and_no_more_than_a_few_may_wait()
    {
        var tries = Enumerable.Range(0, 9).Select(_ => _gate.EnterAsync("wrong horse battery", Stop)).ToList();
        Assert.True(_gate.IsCrowded);
        for (var i = 0; i < tries.Count; i++)
        {
            Assert.DoesNotContain(tries.Skip(i), t => t.IsCompleted);
            Assert.True(SpinWait.SpinUntil(() => _clock.HasTimers, TimeSpan.FromSeconds(20)));
            _clock.Pass(TimeSpan.FromSeconds(1));
            Assert.Null(await tries[i].WaitAsync(TimeSpan.FromSeconds(20), Stop));
        }

        Assert.False(_gate.IsCrowded);
        Assert.NotNull(await _gate.EnterAsync(Right, Stop));
    }

    [Fact]
    public async Task A_try_that_nobody_waits_for_takes_no_turn()
    {
        using var gone = new CancellationTokenSource();
        var first = _gate.EnterAsync("wrong horse battery", Stop);
        var second = _gate.EnterAsync("wrong horse battery", gone.Token);
        await gone.CancelAsync();
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => second);
        Assert.True(SpinWait.SpinUntil(() => _clock.HasTimers, TimeSpan.FromSeconds(20)));
        _clock.Pass(TimeSpan.FromSeconds(1));
        Assert.Null(await first);
        Assert.NotNull(await _gate.EnterAsync(Right, Stop));
    }

    // 210 000 rounds of HMAC-SHA-512: OWASP Password Storage Cheat Sheet (from memory).
    [Fact]
    public void The_password_is_kept_as_a_slow_hash_with_a_salt_of_its_own()
    {
        var kept = _store.Preference("password")!.Split(' ');
        Assert.Equal("pbkdf2-sha512", kept[0]);
        Assert.True(int.Parse(kept[1], System.Globalization.CultureInfo.InvariantCulture) >= 210_000);
        Assert.Equal((32, 64), (kept[2].Length, kept[3].Length));
        Assert.DoesNotContain("horse", _store.Preference("password"), StringComparison.Ordinal);
        Assert.False(_gate.TrySet("another horse battery"));
    }

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    /// <summary>Passes when it is told to, timers included.</summary>
    private sealed class Clock : TimeProvider
    {
        private readonly List<Alarm> _alarms = [];
        private DateTimeOffset _now = new(2030, 1, 1, 0, 0, 0, TimeSpan.Zero);

        /// <summary>Whether somebody waits for a short time.</summary>
        public bool HasTimers
        {
            get
            {
                lock (_alarms)
                {
                    return _alarms.Exists(a => a.At < _now + TimeSpan.FromMinutes(1));
                }
            }
        }

        public override DateTimeOffset GetUtcNow() => _now;

        public void Pass(TimeSpan time)
        {
            List<Alarm> due;
            lock (_alarms)
            {
                _now += time;
                due = _alarms.FindAll(a => a.At <= _now);
                _alarms.RemoveAll(due.Contains);
            }

            due.ForEach(a => a.Ring());
        }

        public override ITimer CreateTimer(TimerCallback callback, object? state, TimeSpan dueTime, TimeSpan period)
        {
            var alarm = new Alarm(this, () => callback(state));
            alarm.Change(dueTime, period);
            return alarm;
        }

        private sealed class Alarm(Clock clock, Action ring) : ITimer
        {
            public DateTimeOffset At { get; private set; }

            public Action Ring { get; } = ring;

            public bool Change(TimeSpan dueTime, TimeSpan period)
            {
                lock (clock._alarms)
                {
                    clock._alarms.Remove(this);
                    if (dueTime != Timeout.InfiniteTimeSpan)
                    {
                        At = clock._now + dueTime;
                        clock._alarms.Add(this);
                    }
                }

                return true;
            }

            public void Dispose()
            {
                lock (clock._alarms)
                {
                    clock._alarms.Remove(this);
                }
            }

            public ValueTask DisposeAsync()
            {
                Dispose();
                return ValueTask.CompletedTask;
            }
        }
    }
}
