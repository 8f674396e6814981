namespace Stencilwright.Workbench.Shop;

/// <summary>Where a user's shop lies when nothing else is said.</summary>
public static class ShopFolder
{
    /// <summary>The variable that names another folder.</summary>
    public const string Variable = "STENCILWRIGHT_SHOP";

    /// <summary>
    /// The folder named by <see cref="Variable"/>; else <c>stencilwright/shop</c> below <c>XDG_DATA_HOME</c> or <c>~/.local/share</c>,
    /// on Windows below the local application data.
    /// </summary>
    /// <param name="variable">Gives an environment variable, or null.</param>
    /// <param name="isWindows">Whether this is Windows.</param>
    /// <returns>Null when nothing tells where a user's files lie.</returns>
    public static string? Usual(Func<string, string?> variable, bool isWindows)
    {
        ArgumentNullException.ThrowIfNull(variable);
        if (variable(Variable) is { Length: > 0 } own)
        {
            return own;
        }

        if (isWindows)
        {
            return variable("LOCALAPPDATA") is { Length: > 0 } local ? Path.Combine(local, "stencilwright", "shop") : null;
        }

        // The base directory specification has relative paths left out of account.
        return variable("XDG_DATA_HOME") is { Length: > 0 } data && Path.IsPathRooted(data) ? Path.Combine(data, "stencilwright", "shop")
            : variable("HOME") is { Length: > 0 } home ? Path.Combine(home, ".local", "share", "stencilwright", "shop")
            : null;
    }
}
