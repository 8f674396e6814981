using System.Globalization;
using System.IO.Compression;

namespace Stencilwright.Workbench.Packages;

/// <summary>Reads the entries of a zip into memory.</summary>
internal static class ZipIntake
{
    private static readonly uint[] _crcTable = MakeCrcTable();

    /// <summary>True for the first bytes of a zip, an empty one included.</summary>
    public static bool IsZip(ReadOnlySpan<byte> head) => head is [(byte)'P', (byte)'K', 3, 4, ..] or [(byte)'P', (byte)'K', 5, 6, ..];

    /// <summary>Reads every entry that is safe to read.</summary>
    public static void Read(Stream stream, string zipName, PackageIntake intake, CancellationToken cancellationToken)
    {
        try
        {
            using var archive = new ZipArchive(stream, ZipArchiveMode.Read, leaveOpen: true);
            // The order inside a zip is its maker's; names make it the same for every maker.
            var entries = new List<ZipArchiveEntry>(archive.Entries);
            entries.Sort(static (a, b) => string.CompareOrdinal(a.FullName, b.FullName));
            foreach (var entry in entries)
            {
                cancellationToken.ThrowIfCancellationRequested();
                if (!intake.Count(zipName))
                {
                    return;
                }

                ReadEntry(entry, intake, cancellationToken);
            }
        }
        catch (InvalidDataException)
        {
            intake.Error("PKG003", zipName, "The zip is damaged or only partly downloaded, and its list of files cannot be read; fetch it again.");
        }
    }

    private static void ReadEntry(ZipArchiveEntry entry, PackageIntake intake, CancellationToken cancellationToken)
    {
        var name = PackageIntake.Shown(entry.FullName.Replace('\\', '/'));
        if (!IsSafe(name))
        {
            intake.Error("PKG006", name, "This name points outside the package and was refused; make the zip again with plain names.");
            return;
        }

        if (name.EndsWith('/') || IsHidden(name))
        {
            return;
        }

        if (entry.IsEncrypted)
        {
            intake.Error("PKG004", name, "This file is locked with a password and was not read; make the zip again without one.");
            return;
        }

        if (IsBomb(entry, intake.Limits))
        {
            intake.Error("PKG007", name, string.Create(CultureInfo.InvariantCulture, $"This file would grow more than {intake.Limits.MaxRatio}-fold when unpacked, as no artwork does, and was refused."));
            return;
        }

        try
        {
            using var content = entry.Open();
            if (intake.ReadBounded(content, entry.Length, name, cancellationToken) is { } bytes)
            {
                Take(entry, name, bytes, intake);
            }
        }
        catch (Exception fault) when (fault is InvalidDataException or IOException or NotSupportedException)
        {
            intake.Error("PKG005", name, "This file is damaged inside the zip, or packed in a way that is not known; make the zip again.");
        }
    }

    private static void Take(ZipArchiveEntry entry, string name, ReadOnlyMemory<byte> bytes, PackageIntake intake)
    {
        if (Crc32(bytes.Span) != entry.Crc32)
        {
            intake.Error("PKG005", name, "This file's check sum is wrong, so it is damaged and was not used; fetch the zip again.");
        }
        else if (IsZip(bytes.Span))
        {
            intake.NestedZip(name);
        }
        else
        {
            intake.Add(name, bytes);
        }
    }

    private static bool IsSafe(string name)
    {
        if (name.Length == 0 || name[0] == '/' || (name.Length > 1 && name[1] == ':'))
        {
            return false;
        }

        foreach (var part in name.Split('/'))
        {
            if (part == "..")
            {
                return false;
            }
        }

        return true;
    }

    // Names that begin with a dot, and the folder in which one packer keeps its own notes.
    private static bool IsHidden(string name)
    {
        foreach (var part in name.Split('/'))
        {
            if ((part.Length > 1 && part[0] == '.') || part == "__MACOSX")
            {
                return true;
            }
        }

        return false;
    }

    private static bool IsBomb(ZipArchiveEntry entry, PackageLimits limits) =>
        entry.Length > limits.RatioFreeBytes && entry.Length / Math.Max(1, entry.CompressedLength) > limits.MaxRatio;

    // CRC-32 of ISO 3309, as the zip format uses it.
    private static uint Crc32(ReadOnlySpan<byte> bytes)
    {
        var crc = 0xFFFFFFFF;
        foreach (var b in bytes)
        {
            crc = _crcTable[(crc ^ b) & 0xFF] ^ (crc >> 8);
        }

        return ~crc;
    }

    private static uint[] MakeCrcTable()
    {
        var table = new uint[256];
        for (var i = 0u; i < 256; i++)
        {
            var value = i;
            for (var bit = 0; bit < 8; bit++)
            {
                value = (value & 1) != 0 ? 0xEDB88320 ^ (value >> 1) : value >> 1;
            }

            table[i] = value;
        }

        return table;
    }
}
