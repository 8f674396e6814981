namespace Stencilwright.Workbench.Workshop;

/// <summary>Where a user's jobs and shop are kept: one folder, the same for every door of the program.</summary>
/// <param name="Root">The folder.</param>
public sealed record WorkshopFolder(string Root)
{
    /// <summary>The database.</summary>
    public string Database => Path.Combine(Root, "workshop.db");

    /// <summary>One folder for each job.</summary>
    public string Jobs => Path.Combine(Root, "jobs");

    /// <summary>The shop's items.</summary>
    public string Shop => Path.Combine(Root, "shop");

    /// <summary>The user's data folder: <c>XDG_DATA_HOME</c>, or the system's own place for data of programs.</summary>
    /// <remarks>Source: XDG Base Directory Specification, section 3 (from memory).</remarks>
    public static WorkshopFolder OfUser()
    {
        var named = Environment.GetEnvironmentVariable("XDG_DATA_HOME");
        var data = Path.IsPathFullyQualified(named ?? "") ? named!
            : Environment.GetFolderPath(Environment.SpecialFolder.LocalApplicationData, Environment.SpecialFolderOption.DoNotVerify);
        return new WorkshopFolder(Path.Combine(data.Length > 0 ? data : AppContext.BaseDirectory, "stencilwright"));
    }
}
