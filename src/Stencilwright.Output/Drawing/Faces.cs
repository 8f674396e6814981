using SkiaSharp;

namespace Stencilwright.Output.Drawing;

/// <summary>The one face, carried inside the program so that text appears on a machine that has no fonts.</summary>
internal static class Faces
{
    private static readonly Lazy<SKTypeface> _regular = new(() => Load("OpenSans-Regular.ttf"));
    private static readonly Lazy<SKTypeface> _semibold = new(() => Load("OpenSans-Semibold.ttf"));

    public static SKTypeface Regular => _regular.Value;

    public static SKTypeface Semibold => _semibold.Value;

    private static SKTypeface Load(string name)
    {
        using var stream = typeof(Faces).Assembly.GetManifestResourceStream(name)
            ?? throw new InvalidOperationException("The face " + name + " is not in the assembly.");
        using var data = SKData.Create(stream);
        return SKTypeface.FromData(data) ?? throw new InvalidOperationException("The face " + name + " cannot be read.");
    }
}
