using CsCheck;

namespace Stencilwright.Testing;

/// <summary>
/// Property tests over the same samples every time, so that a checkout passes or fails, and not by the hour. With
/// <c>STENCILWRIGHT_FRESH_SAMPLES=1</c> (or CsCheck's own <c>CsCheck_Seed</c>) the samples are drawn anew, and a failure shrinks.
/// </summary>
public static class SteadySamples
{
    private static bool IsFresh => Environment.GetEnvironmentVariable("STENCILWRIGHT_FRESH_SAMPLES") is "1"
        || Environment.GetEnvironmentVariable("CsCheck_Seed") is not null;

    /// <summary>Checks <paramref name="iter"/> samples; fails with the sample and the seed that shows it again.</summary>
    public static void Check<T>(this Gen<T> gen, Action<T> assert, int iter = 100, int threads = -1)
    {
        if (IsFresh)
        {
            gen.Sample(assert, iter: iter, threads: threads);
            return;
        }

        for (var i = 0; i < iter; i++)
        {
            var random = new PCG((uint)i, 20260501);
            var seed = random.ToString();
            var value = gen.Generate(random, null!, out _);
            try
            {
                assert(value);
            }
            catch (Exception e)
            {
                throw new InvalidOperationException($"Sample {i} of {iter} failed (CsCheck_Seed={seed} shows it again): {value}", e);
            }
        }
    }

    /// <inheritdoc cref="Check{T}(Gen{T}, Action{T}, int, int)"/>
    public static void Check<T1, T2>(this Gen<(T1, T2)> gen, Action<T1, T2> assert, int iter = 100, int threads = -1) =>
        Check(gen, t => assert(t.Item1, t.Item2), iter, threads);

    /// <inheritdoc cref="Check{T}(Gen{T}, Action{T}, int, int)"/>
    public static void Check<T1, T2, T3>(this Gen<(T1, T2, T3)> gen, Action<T1, T2, T3> assert, int iter = 100, int threads = -1) =>
        Check(gen, t => assert(t.Item1, t.Item2, t.Item3), iter, threads);

    /// <inheritdoc cref="Check{T}(Gen{T}, Action{T}, int, int)"/>
    public static void Check<T1, T2, T3, T4>(this Gen<(T1, T2, T3, T4)> gen, Action<T1, T2, T3, T4> assert, int iter = 100, int threads = -1) =>
        Check(gen, t => assert(t.Item1, t.Item2, t.Item3, t.Item4), iter, threads);

    /// <inheritdoc cref="Check{T}(Gen{T}, Action{T}, int, int)"/>
    public static void Check<T1, T2, T3, T4, T5>(this Gen<(T1, T2, T3, T4, T5)> gen, Action<T1, T2, T3, T4, T5> assert, int iter = 100, int threads = -1) =>
        Check(gen, t => assert(t.Item1, t.Item2, t.Item3, t.Item4, t.Item5), iter, threads);

    /// <inheritdoc cref="Check{T}(Gen{T}, Action{T}, int, int)"/>
    public static void Check<T1, T2, T3, T4, T5, T6>(this Gen<(T1, T2, T3, T4, T5, T6)> gen, Action<T1, T2, T3, T4, T5, T6> assert, int iter = 100, int threads = -1) =>
        Check(gen, t => assert(t.Item1, t.Item2, t.Item3, t.Item4, t.Item5, t.Item6), iter, threads);
}
