using System.Collections.Concurrent;
using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using Stencilwright.Workbench.Workshop;

namespace Stencilwright.App.Web.Safety;

/// <summary>The password that is wanted when others can reach the service, and who has given it.</summary>
/// <remarks>
/// Kept as PBKDF2 with HMAC-SHA-512 and a salt of its own. Iterations: OWASP Password Storage Cheat Sheet, 210 000 for
/// SHA-512 (from memory).
/// </remarks>
internal sealed class PasswordGate(JobStore store, ServerChoice choice, TimeProvider? clock = null) : IDisposable
{
    /// <summary>Shortest password taken.</summary>
    public const int ShortestPassword = 10;

    /// <summary>The cookie that shows that somebody has given it.</summary>
    public const string CookieName = "workshop";

    private const string Preference = "password";
    private const int Iterations = 210_000;
    private const int HashBytes = 32;
    private const int LongestPassword = 500;

    // Whoever floods the gate must not make the owner wait for more tries than these.
    private const int MostWaiting = 8;

    // After a wrong password the next is looked at no sooner than this, whoever sends it.
    private static readonly TimeSpan _pause = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan _stay = TimeSpan.FromHours(12);

    private readonly TimeProvider _clock = clock ?? TimeProvider.System;
    private readonly ConcurrentDictionary<string, CancellationTokenSource> _given = new(StringComparer.Ordinal);
    private readonly SemaphoreSlim _oneAtATime = new(1);
    private int _waiting;

    /// <summary>Whether a password is wanted at all.</summary>
    public bool IsWanted => !choice.IsLocal;

    /// <summary>Whether one has been set.</summary>
    public bool IsSet => store.Preference(Preference) is not null;

    /// <summary>Shown where the program was started: whoever knows it may set the first password, and nobody else on the network.</summary>
    public string FirstCode { get; } = RandomNumberGenerator.GetString("ABCDEFGHJKLMNPQRSTUVWXYZ23456789", 8);

    /// <summary>Whether more tries wait than are looked at: another is to be refused at once.</summary>
    public bool IsCrowded => Volatile.Read(ref _waiting) >= MostWaiting;

    /// <summary>Whether a code is the one that was shown; wrong ones are answered slowly.</summary>
    /// <param name="code">What was entered.</param>
    /// <param name="gone">Falls when whoever asked has gone: a try that nobody waits for takes no turn.</param>
    public Task<bool> IsFirstCodeAsync(string code, CancellationToken gone = default) => InTurnAsync(
        () => CryptographicOperations.FixedTimeEquals(Encoding.UTF8.GetBytes(code.Trim().ToUpperInvariant()), Encoding.UTF8.GetBytes(FirstCode)), gone);

    /// <summary>Sets the first password; false when one is set already or it is too short or too long.</summary>
    public bool TrySet(string password)
    {
        if (IsSet || password.Length is < ShortestPassword or > LongestPassword)
        {
            return false;
        }

        var salt = RandomNumberGenerator.GetBytes(16);
        store.SetPreference(Preference, string.Create(CultureInfo.InvariantCulture, $"pbkdf2-sha512 {Iterations} {Convert.ToHexString(salt)} {Convert.ToHexString(Hash(password, salt, Iterations))}"));
        return true;
    }

    /// <summary>Forgets the password, and with it every entry that was made by it; whoever sees the terminal sets the next.</summary>
    public void Reset()
    {
        store.ForgetPreference(Preference);
        foreach (var stay in _given.Values)
        {
            stay.Cancel();
        }
    }

    /// <summary>A token for the cookie when the password is right, or null; wrong ones are answered slowly.</summary>
    /// <param name="password">What was entered.</param>
    /// <param name="gone">Falls when whoever asked has gone: a try that nobody waits for takes no turn.</param>
    public async Task<string?> EnterAsync(string password, CancellationToken gone = default)
    {
        if (!await InTurnAsync(() => password.Length <= LongestPassword && IsRight(password), gone))
        {
            return null;
        }

        var token = Convert.ToHexString(RandomNumberGenerator.GetBytes(32));
        var digest = Digest(token);
        var stay = _given.GetOrAdd(digest, _ => new CancellationTokenSource(_stay, _clock));
        stay.Token.Register(() => Forget(digest));
        return token;
    }

    /// <summary>Whether a cookie's token was given out and has not run out.</summary>
    public bool Knows(string? token) => StayOf(token) is not null;

    /// <summary>What falls when a token runs out or is forgotten; null when it is not known.</summary>
    /// <param name="token">From a cookie.</param>
    public CancellationToken? StayOf(string? token)
    {
        // One that is just being forgotten has fallen already.
        return token is { Length: 64 } && _given.TryGetValue(Digest(token), out var stay) && !stay.IsCancellationRequested ? stay.Token : null;
    }

    /// <summary>Forgets a token; whatever was opened with it is closed.</summary>
    public void Leave(string? token)
    {
        if (token is not null && _given.TryGetValue(Digest(token), out var stay))
        {
            stay.Cancel();
        }
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        foreach (var digest in _given.Keys)
        {
            Forget(digest);
        }

        _oneAtATime.Dispose();
    }

    private void Forget(string digest)
    {
        if (_given.TryRemove(digest, out var stay))
        {
            stay.Dispose();
        }
    }

    // One after another, so that many at once are no quicker; a wrong one holds the next up.
    private async Task<bool> InTurnAsync(Func<bool> isRight, CancellationToken gone)
    {
        Interlocked.Increment(ref _waiting);
        try
        {
            await _oneAtATime.WaitAsync(gone);
        }
        finally
        {
            Interlocked.Decrement(ref _waiting);
        }

        try
        {
            if (isRight())
            {
                return true;
            }

            await Task.Delay(_pause, _clock, CancellationToken.None);
            return false;
        }
        finally
        {
            _oneAtATime.Release();
        }
    }

    private bool IsRight(string password)
    {
        var kept = store.Preference(Preference)?.Split(' ');
        return kept is [_, var iterations, var salt, var hash]
            && CryptographicOperations.FixedTimeEquals(
                Hash(password, Convert.FromHexString(salt), int.Parse(iterations, CultureInfo.InvariantCulture)), Convert.FromHexString(hash));
    }

    private static byte[] Hash(string password, byte[] salt, int iterations) =>
        Rfc2898DeriveBytes.Pbkdf2(password, salt, iterations, HashAlgorithmName.SHA512, HashBytes);

    // A copy of memory or a log shows no token that a browser could send.
    private static string Digest(string token) => Convert.ToHexString(SHA256.HashData(Encoding.ASCII.GetBytes(token)));
}
