namespace Stencilwright.Workbench.Shop;

/// <summary>Kinds of things that a shop describes; each brings the settings that are its own.</summary>
public enum ShopKind
{
    /// <summary>A laser and whatever drives it.</summary>
    Laser,

    /// <summary>A film, with the power and speed that cut it.</summary>
    Film,

    /// <summary>A material of support frames, with the power and speed that cut it.</summary>
    Frame,

    /// <summary>A bare board's thickness.</summary>
    Board,

    /// <summary>A solder paste and how it releases.</summary>
    Paste,

    /// <summary>Rules that shape the openings.</summary>
    Rules,
}
