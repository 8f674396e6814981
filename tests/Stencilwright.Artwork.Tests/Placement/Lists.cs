using System.Text;
using Stencilwright.Artwork.Placement;
using Stencilwright.Foundation;
using Xunit;

namespace Stencilwright.Artwork.Tests.Placement;

/// <summary>Short ways to read a list in a test.</summary>
internal static class Lists
{
    public static Outcome<PlacementList> Read(string text, ReadLimits? limits = null) => Read(Encoding.UTF8.GetBytes(text), limits);

    public static Outcome<PlacementList> Read(byte[] bytes, ReadLimits? limits = null) =>
        PlacementReader.Read(new SourceText("places.csv", bytes), limits ?? ReadLimits.Default, TestContext.Current.CancellationToken);

    /// <summary>The one part of a list that holds one.</summary>
    public static PlacedPart One(string text) => Assert.Single(Read(text).Value!.Parts);

    public static void Has(Outcome<PlacementList> outcome, string code, Severity severity) =>
        Assert.Contains(outcome.Diagnostics, d => d.Code == code && d.Severity == severity);
}
