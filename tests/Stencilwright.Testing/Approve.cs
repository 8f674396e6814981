using System.Runtime.CompilerServices;

namespace Stencilwright.Testing;

/// <summary>Compares text with a file that a person has looked at and approved; never writes the approved file itself.</summary>
public static class Approve
{
    /// <summary>Fails, and leaves a <c>.received</c> file to look at, when the text differs from the approved one.</summary>
    public static void Text(
        string actual,
        string extension = "txt",
        string? name = null,
        [CallerFilePath] string testFile = "",
        [CallerMemberName] string testName = "")
    {
        var stem = Path.Combine(
            Path.GetDirectoryName(testFile)!, "approved", $"{Path.GetFileNameWithoutExtension(testFile)}.{name ?? testName}");
        var (approved, received) = ($"{stem}.{extension}", $"{stem}.received.{extension}");
        if (File.Exists(approved) && string.Equals(File.ReadAllText(approved), actual, StringComparison.Ordinal))
        {
            File.Delete(received);
            return;
        }

        Directory.CreateDirectory(Path.GetDirectoryName(received)!);
        File.WriteAllText(received, actual);
        throw new NotApprovedException($"Look at {received}; if it is right, move it over {approved}.");
    }
}

/// <summary>The text differs from the approved one.</summary>
public sealed class NotApprovedException : Exception
{
    public NotApprovedException()
    {
    }

    public NotApprovedException(string message)
        : base(message)
    {
    }

    public NotApprovedException(string message, Exception innerException)
        : base(message, innerException)
    {
    }
}
