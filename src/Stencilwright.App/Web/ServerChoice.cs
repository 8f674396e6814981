using System.Net;
using Stencilwright.Workbench.Workshop;

namespace Stencilwright.App.Web;

/// <summary>How the local service runs.</summary>
/// <param name="Address">Where it listens.</param>
/// <param name="Port">On which port; 0 takes any free one.</param>
/// <param name="Folder">Where jobs and shop are kept.</param>
/// <param name="Version">The program's version.</param>
internal sealed record ServerChoice(IPAddress Address, int Port, WorkshopFolder Folder, string Version)
{
    /// <summary>Port when nobody says otherwise.</summary>
    public const int UsualPort = 7380;

    /// <summary>Whether only this machine can reach it.</summary>
    public bool IsLocal => IPAddress.IsLoopback(Address);
}
