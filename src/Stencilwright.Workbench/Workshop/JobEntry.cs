namespace Stencilwright.Workbench.Workshop;

/// <summary>A job in the list.</summary>
public sealed record JobEntry
{
    /// <summary>Its name in addresses and folders: letters and digits.</summary>
    public required string Id { get; init; }

    /// <summary>Its title.</summary>
    public required string Title { get; init; }

    /// <summary>When it was made.</summary>
    public required DateTimeOffset Created { get; init; }

    /// <summary>When it was last changed.</summary>
    public required DateTimeOffset Changed { get; init; }

    /// <summary>What came of it last; null before it was worked out for the first time.</summary>
    public JobDigest? Digest { get; init; }

    /// <summary>How many pictures it has had since the store was opened: with <see cref="Changed"/> it tells one from another.</summary>
    public int Pictures { get; init; }
}

/// <summary>What the list shows of a job.</summary>
public sealed record JobDigest
{
    /// <summary>Width of the board; 0 when it has no outline.</summary>
    public double BoardWidthMm { get; init; }

    /// <summary>Height of the board; 0 when it has no outline.</summary>
    public double BoardHeightMm { get; init; }

    /// <summary>Openings that print, of all sides.</summary>
    public int Prints { get; init; }

    /// <summary>Marginal openings.</summary>
    public int Marginal { get; init; }

    /// <summary>Openings that will not print.</summary>
    public int WillNotPrint { get; init; }

    /// <summary>Why nothing could be made of it; empty when something could.</summary>
    public string Failure { get; init; } = "";

    /// <summary>Code of the diagnostic that says so.</summary>
    public string FailureCode { get; init; } = "";

    /// <summary>All openings.</summary>
    public int Openings => Prints + Marginal + WillNotPrint;
}
