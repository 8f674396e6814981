using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.WebUtilities;

namespace Stencilwright.App.Web;

/// <summary>Keeps what a page shows in its address, so that it can be bookmarked.</summary>
/// <remarks>The browser takes up a new address a moment later: what was asked for since is kept until it has.</remarks>
internal sealed class PageAddress(NavigationManager navigation)
{
    private readonly Dictionary<string, object?> _asked = new(StringComparer.Ordinal);

    /// <summary>Puts values into the address in the place of those there; null takes one out.</summary>
    public void Set(params ReadOnlySpan<(string Name, string? Value)> values)
    {
        Settle();
        foreach (var (name, value) in values)
        {
            _asked[name] = value;
        }

        navigation.NavigateTo(navigation.GetUriWithQueryParameters(_asked), new NavigationOptions { ReplaceHistoryEntry = true });
    }

    // What the address says by now need not be asked for again.
    private void Settle()
    {
        var said = QueryHelpers.ParseQuery(new Uri(navigation.Uri).Query);
        foreach (var (name, value) in _asked.ToArray())
        {
            if ((said.TryGetValue(name, out var there) ? there.ToString() : null) == (string?)value)
            {
                _asked.Remove(name);
            }
        }
    }
}
