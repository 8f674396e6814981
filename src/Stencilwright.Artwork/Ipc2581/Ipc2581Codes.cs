namespace Stencilwright.Artwork.Ipc2581;

/// <summary>Codes of what can be said about an IPC-2581 file; <c>docs/diagnostics.md</c> explains each.</summary>
internal static class Ipc2581Codes
{
    public const string NotWellFormed = "ART340";
    public const string ReferenceRefused = "ART341";
    public const string NotIpc2581 = "ART342";
    public const string NoUnit = "ART343";
    public const string BadValue = "ART344";
    public const string Unresolved = "ART345";
    public const string HoldsItself = "ART346";
    public const string LimitReached = "ART347";
    public const string NotPainted = "ART348";
    public const string UndeclaredLayer = "ART349";
    public const string FarAway = "ART350";
    public const string FillTakenSolid = "ART351";
    public const string NoProfile = "ART352";
    public const string MirroredCopy = "ART353";
    public const string MoreLeftOut = "ART354";
    public const string ShapeUnresolved = "ART355";
    public const string TurnAssumed = "ART356";
    public const string PartUnplaced = "ART357";
    public const string NoStep = "ART358";
}
