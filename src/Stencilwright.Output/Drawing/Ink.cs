using SkiaSharp;

namespace Stencilwright.Output.Drawing;

/// <summary>
/// Colours of the drawing on paper. Words stand 4.5 : 1 from paper and white, lines and hatches 3 : 1 from those and from
/// film (WCAG 2.2, success criteria 1.4.3 and 1.4.11).
/// </summary>
internal static class Ink
{
    public static readonly SKColor Paper = new(0xFB, 0xF8, 0xF1);
    public static readonly SKColor White = SKColors.White;
    public static readonly SKColor Line = new(0x22, 0x30, 0x3C);
    public static readonly SKColor Quiet = new(0x5B, 0x68, 0x73);
    public static readonly SKColor Film = new(0x7F, 0xA6, 0xB8, 89);
    public static readonly SKColor Board = new(0x84, 0x75, 0x56);
    public static readonly SKColor Frame = new(0x8A, 0x77, 0x60);
    public static readonly SKColor Score = new(0x8C, 0x5A, 0x12);
    public static readonly SKColor Marginal = new(0x9C, 0x5D, 0x00);
    public static readonly SKColor WillNotPrint = new(0xB3, 0x26, 0x1E);
    public static readonly SKColor Accent = new(0x00, 0x64, 0x6E);
}

/// <summary>Line widths in millimetres on the page. Source: ISO 128-2, the series of widths by steps of √2 (from memory).</summary>
internal static class Weight
{
    public const float Hair = 0.13f;
    public const float Thin = 0.18f;
    public const float Normal = 0.25f;
    public const float Heavy = 0.5f;
    public const float Border = 0.7f;
}

/// <summary>Dash patterns in millimetres on the page. Source: ISO 128-2, line types 02 and 04, shortened (from memory).</summary>
internal static class Dash
{
    public static readonly float[] Hidden = [2.4f, 0.9f];
    public static readonly float[] Dotted = [0.25f, 0.75f];
}
