namespace Stencilwright.Cutting.Coupons;

/// <summary>Student's t distribution for whole degrees of freedom.</summary>
internal static class StudentT
{
    /// <summary>Probability that |t| stays below a value. Source: Abramowitz and Stegun, 26.7.3 and 26.7.4 (1964, from memory).</summary>
    public static double Within(double t, int degrees)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(degrees, 1);
        var angle = Math.Atan(Math.Abs(t) / Math.Sqrt(degrees));
        var (sin, cos) = Math.SinCos(angle);
        var cos2 = cos * cos;
        var isOdd = degrees % 2 == 1;
        var term = isOdd ? cos : 1.0;
        var sum = degrees == 1 ? 0 : term;
        for (var k = isOdd ? 3 : 2; k <= degrees - 2; k += 2)
        {
            // Odd: cos θ (1 + 2/3 cos² θ + 2·4/(3·5) cos⁴ θ …); even: 1 + 1/2 cos² θ + 1·3/(2·4) cos⁴ θ …
            term *= cos2 * (k - 1) / k;
            sum += term;
        }

        return isOdd ? 2 / Math.PI * (angle + (sin * sum)) : sin * sum;
    }

    /// <summary>The value that |t| stays below with a probability, to nine digits.</summary>
    public static double Quantile(double within, int degrees)
    {
        // Beyond a thousand degrees nothing changes in the third digit.
        degrees = Math.Min(degrees, 1000);
        var (low, high) = (0.0, 1.0);
        while (Within(high, degrees) < within && high < 1e9)
        {
            high *= 2;
        }

        for (var i = 0; i < 100 && high - low > 1e-10 * high; i++)
        {
            var middle = (low + high) / 2;
            (low, high) = Within(middle, degrees) < within ? (middle, high) : (low, middle);
        }

        return (low + high) / 2;
    }
}
