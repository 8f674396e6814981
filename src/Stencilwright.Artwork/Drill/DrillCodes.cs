namespace Stencilwright.Artwork.Drill;

/// <summary>Codes of what can be said about a drill file; each has a row in <c>docs/diagnostics.md</c>.</summary>
internal static class DrillCodes
{
    public const string NotDrill = "ART200";
    public const string NoEnd = "ART201";
    public const string UnitGuessed = "ART202";
    public const string FormatGuessed = "ART203";
    public const string ZerosGuessed = "ART204";
    public const string Contradiction = "ART205";
    public const string BadNumber = "ART206";
    public const string FarCoordinate = "ART207";
    public const string UnknownCommand = "ART208";
    public const string NoDiameter = "ART209";
    public const string OddTool = "ART210";
    public const string TooMany = "ART211";
    public const string Pattern = "ART212";
    public const string Rout = "ART213";
    public const string FormatTold = "ART214";
    public const string Implausible = "ART215";
    public const string AfterEnd = "ART216";
    public const string Nothing = "ART217";
    public const string MoreLeftOut = "ART218";
    public const string ShapeUnresolved = "ART219";
}
