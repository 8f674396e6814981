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

    // After a wrong password the next is looked at no sooner than this, whoever sends it.
    private static readonly TimeSpan _pause = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan _stay = TimeSpan.FromHours(12);

    private readonly TimeProvider _clock = clock ?? TimeProvider.System;
    private readonly ConcurrentDictionary<string, DateTimeOffset> _given = new(StringComparer.Ordinal);
    private readonly SemaphoreSlim _oneAtATime = new(1);

    /// <summary>Whether a password is wanted at all.</summary>
    public bool IsWanted => !choice.IsLocal;

    /// <summary>Whether one has been set.</summary>
    public bool IsSet => store.Preference(Preference) is not null;

    /// <summary>Shown where the program was started: whoever knows it may set the first password, and nobody else on the network.</summary>
    public string FirstCode { get; } = RandomNumberGenerator.GetString("ABCDEFGHJKLMNPQRSTUVWXYZ23456789", 8);

    /// <summary>Whether a code is the one that was shown; wrong ones are answered slowly.</summary>
    public async Task<bool> IsFirstCodeAsync(string code)
    {
        await _oneAtATime.WaitAsync();
        try
        {
            if (CryptographicOperations.FixedTimeEquals(Encoding.UTF8.GetBytes(code.Trim().ToUpperInvariant()), Encoding.UTF8.GetBytes(FirstCode)))
            {
                return true;
            }

            await Task.Delay(_pause, _clock);
            return false;
        }
        finally
        {
            _oneAtATime.Release();
        }
    }

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

    /// <summary>A token for the cookie when the password is right, or null; wrong ones are answered slowly.</summary>
    public async Task<string?> EnterAsync(string password)
    {
        await _oneAtATime.WaitAsync();
        try
        {
            if (password.Length <= LongestPassword && IsRight(password))
            {
                var token = Convert.ToHexString(RandomNumberGenerator.GetBytes(32));
                _given[Digest(token)] = _clock.GetUtcNow() + _stay;
                return token;
            }

            await Task.Delay(_pause, _clock);
            return null;
        }
        finally
        {
            _oneAtATime.Release();
        }
    }

    /// <summary>Whether a cookie's token was given out and has not run out.</summary>
    public bool Knows(string? token) =>
        token is { Length: 64 } && _given.TryGetValue(Digest(token), out var until) && until > _clock.GetUtcNow();

    /// <summary>Forgets a token.</summary>
    public void Leave(string? token)
    {
        if (token is not null)
        {
            _given.TryRemove(Digest(token), out _);
        }
    }

    /// <inheritdoc/>
    public void Dispose() => _oneAtATime.Dispose();

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
