using System.Collections.Concurrent;
using System.Collections.Immutable;
using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Security.Cryptography;
using Microsoft.Data.Sqlite;

namespace Stencilwright.Workbench.Workshop;

/// <summary>Jobs with their files and every revision of what was decided about them, kept across restarts.</summary>
/// <remarks>
/// The database is written ahead (WAL) and flushed at every change; a job's folder is complete before its row is written,
/// and its row is gone before its folder is. So a process killed at any moment leaves whole jobs, and at worst a folder that
/// the next start removes. Source: SQLite documentation, "Write-Ahead Logging" and "PRAGMA synchronous" (from memory).
/// </remarks>
public sealed class JobStore : IDisposable
{
    private const int IdLength = 10;
    private const string IdLetters = "abcdefghijkmnpqrstuvwxyz23456789";
    private const string MakingPrefix = ".making-";

    // Deleted jobs can be taken back for this long.
    private static readonly TimeSpan _kept = TimeSpan.FromDays(30);

    private const string Schema = """
        CREATE TABLE IF NOT EXISTS jobs (
            id TEXT PRIMARY KEY, created TEXT NOT NULL, changed TEXT NOT NULL, deleted TEXT,
            revision INTEGER NOT NULL, digest TEXT, picture BLOB) STRICT;
        CREATE TABLE IF NOT EXISTS revisions (
            job TEXT NOT NULL REFERENCES jobs (id) ON DELETE CASCADE, number INTEGER NOT NULL, what TEXT NOT NULL, state TEXT NOT NULL,
            PRIMARY KEY (job, number)) STRICT;
        CREATE TABLE IF NOT EXISTS preferences (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;
        PRAGMA user_version = 1;
        """;

    private readonly WorkshopFolder _folder;
    private readonly TimeProvider _clock;
    private readonly FileStream _held;
    private readonly SqliteConnection _database;
    private readonly ConcurrentDictionary<string, int> _pictures = new(StringComparer.Ordinal);
    private readonly Lock _lock = new();

    /// <summary>Opens the store, making its folder when there is none.</summary>
    /// <exception cref="IOException">The folder cannot be made, or another store is open over it.</exception>
    /// <exception cref="SqliteException">The database cannot be opened.</exception>
    public JobStore(WorkshopFolder folder, TimeProvider? clock = null)
    {
        ArgumentNullException.ThrowIfNull(folder);
        (_folder, _clock) = (folder, clock ?? TimeProvider.System);
        MakePrivate(folder.Root);
        _held = Hold(folder);
        Directory.CreateDirectory(folder.Jobs);
        _database = new SqliteConnection(new SqliteConnectionStringBuilder { DataSource = folder.Database, Pooling = false }.ToString());
        try
        {
            Begin();
        }
        catch
        {
            Dispose();
            throw;
        }
    }

    private void Begin()
    {
        _database.Open();
        Run("PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON; PRAGMA busy_timeout = 5000;");
        Run(Schema);
        Sweep();
    }

    /// <summary>Raised after the list of jobs changed or what it shows of one, from any thread.</summary>
    public event EventHandler? Changed;

    /// <inheritdoc/>
    public void Dispose()
    {
        _database.Dispose();
        _held.Dispose();
    }

    /// <summary>Jobs that are not deleted, the last changed first.</summary>
    public ImmutableArray<JobEntry> List() => Read("WHERE j.deleted IS NULL ORDER BY j.changed DESC, j.id", []);

    /// <summary>One job, or null.</summary>
    public JobEntry? Find(string id) => Read("WHERE j.deleted IS NULL AND j.id = $id", [("$id", id)]).FirstOrDefault();

    /// <summary>Keeps a new job.</summary>
    /// <param name="title">Its title.</param>
    /// <param name="files">Bare names and bytes, as they came: packages are kept packed.</param>
    /// <exception cref="ArgumentException">A name is no bare file name.</exception>
    /// <exception cref="IOException">The files cannot be written.</exception>
    public JobEntry Create(string title, IReadOnlyCollection<(string Name, ReadOnlyMemory<byte> Bytes)> files)
    {
        ArgumentNullException.ThrowIfNull(files);
        return Create(new JobState { Title = title }, making =>
        {
            foreach (var (name, bytes) in files)
            {
                if (name.Length is 0 or > 200 || name.AsSpan().ContainsAny(['/', '\\', '\0']) || name is "." or ".." || name != Path.GetFileName(name))
                {
                    throw new ArgumentException($"{name} is no bare file name.", nameof(files));
                }

                using var file = new FileStream(Path.Combine(making, name), FileMode.CreateNew, FileAccess.Write);
                file.Write(bytes.Span);
                file.Flush(flushToDisk: true);
            }
        });
    }

    /// <summary>Keeps a copy of a job as it is now, without its history.</summary>
    public JobEntry Duplicate(string id, string title)
    {
        var (_, state) = Current(id);
        return Create(state with { Title = title }, making =>
        {
            foreach (var path in Directory.EnumerateFiles(ArtworkFolder(id)))
            {
                File.Copy(path, Path.Combine(making, Path.GetFileName(path)));
            }
        });
    }

    /// <summary>Takes a job out of the list; <see cref="Restore"/> puts it back within 30 days.</summary>
    public void Delete(string id) => RunAndTell("UPDATE jobs SET deleted = $now WHERE id = $id", ("$now", Now()), ("$id", id));

    /// <summary>Puts a deleted job back.</summary>
    public void Restore(string id) => RunAndTell("UPDATE jobs SET deleted = NULL WHERE id = $id", ("$id", id));

    /// <summary>Paths of the job's artwork, ordered by name.</summary>
    public ImmutableArray<string> ArtworkPaths(string id) => [.. Directory.EnumerateFiles(ArtworkFolder(id)).Order(StringComparer.Ordinal)];

    /// <summary>The revision in force and its number.</summary>
    /// <exception cref="KeyNotFoundException">There is no such job.</exception>
    public (int Number, JobState State) Current(string id) =>
        Rows("SELECT r.number, r.state FROM jobs j JOIN revisions r ON r.job = j.id AND r.number = j.revision WHERE j.id = $id", [("$id", id)],
            row => (row.GetInt32(0), JobState.FromJson(row.GetString(1)))) is [var one, ..] ? one : throw new KeyNotFoundException($"There is no job {id}.");

    /// <summary>What the change before the revision in force did, and the one that was taken back last; null when there is none.</summary>
    public (string? Undo, string? Redo) Steps(string id)
    {
        var steps = Rows("SELECT r.number - j.revision, r.what FROM jobs j JOIN revisions r ON r.job = j.id WHERE j.id = $id AND r.number BETWEEN j.revision AND j.revision + 1 AND r.number > 1",
            [("$id", id)], row => (row.GetInt32(0), row.GetString(1)));
        return (steps.Find(s => s.Item1 == 0).Item2, steps.Find(s => s.Item1 == 1).Item2);
    }

    /// <summary>Appends a revision; those that had been taken back are gone.</summary>
    /// <param name="id">The job.</param>
    /// <param name="what">The change in a few words.</param>
    /// <param name="state">All of it.</param>
    /// <exception cref="IOException">It cannot be kept: the disk is full or may not be written.</exception>
    public void Append(string id, string what, JobState state)
    {
        ArgumentNullException.ThrowIfNull(state);
        Together(() =>
        {
            var number = Current(id).Number + 1;
            Run("DELETE FROM revisions WHERE job = $id AND number >= $number", ("$id", id), ("$number", number));
            Run("INSERT INTO revisions (job, number, what, state) VALUES ($id, $number, $what, $state)",
                ("$id", id), ("$number", number), ("$what", what), ("$state", state.ToJson()));
            Run("UPDATE jobs SET revision = $number, changed = $now WHERE id = $id", ("$id", id), ("$number", number), ("$now", Now()));
        });
        Tell();
    }

    /// <summary>Goes back by one change, or forward again; says whether there was one.</summary>
    public bool Step(string id, bool back)
    {
        lock (_lock)
        {
            var (undo, redo) = Steps(id);
            if ((back ? undo : redo) is null)
            {
                return false;
            }

            Run("UPDATE jobs SET revision = revision + $by, changed = $now WHERE id = $id", ("$id", id), ("$by", back ? -1 : 1), ("$now", Now()));
        }

        Tell();
        return true;
    }

    /// <summary>Keeps what the list shows of a job.</summary>
    /// <param name="id">The job.</param>
    /// <param name="digest">Figures.</param>
    /// <param name="picture">PNG; empty for none.</param>
    public void Keep(string id, JobDigest digest, ReadOnlyMemory<byte> picture)
    {
        try
        {
            _pictures.AddOrUpdate(id, 1, (_, n) => n + 1);
            RunAndTell("UPDATE jobs SET digest = $digest, picture = $picture WHERE id = $id",
                ("$id", id), ("$digest", System.Text.Json.JsonSerializer.Serialize(digest, DigestJson.Default.JobDigest)),
                ("$picture", picture.IsEmpty ? DBNull.Value : picture.ToArray()));
        }
        catch (IOException)
        {
            // Nobody decided it: it comes of the job whenever that is worked out again.
        }
    }

    /// <summary>The job's picture as PNG; null when there is none.</summary>
    public byte[]? Picture(string id) =>
        Rows("SELECT picture FROM jobs WHERE id = $id AND picture IS NOT NULL AND deleted IS NULL", [("$id", id)], row => (byte[])row.GetValue(0)).FirstOrDefault();

    /// <summary>A preference of the person at this machine; null when never set.</summary>
    public string? Preference(string name) =>
        Rows("SELECT value FROM preferences WHERE name = $name", [("$name", name)], row => row.GetString(0)).FirstOrDefault();

    /// <summary>Keeps a preference.</summary>
    public void SetPreference(string name, string value) =>
        Run("INSERT INTO preferences (name, value) VALUES ($name, $value) ON CONFLICT (name) DO UPDATE SET value = $value", ("$name", name), ("$value", value));

    /// <summary>Lets a preference go.</summary>
    public void ForgetPreference(string name) => Run("DELETE FROM preferences WHERE name = $name", ("$name", name));

    private string ArtworkFolder(string id) => Path.Combine(_folder.Jobs, id, "artwork");

    private JobEntry Create(JobState state, Action<string> fill)
    {
        var id = NewId();
        var making = Path.Combine(_folder.Jobs, MakingPrefix + id);
        try
        {
            Directory.CreateDirectory(Path.Combine(making, "artwork"));
            fill(Path.Combine(making, "artwork"));
            Directory.Move(making, Path.Combine(_folder.Jobs, id));
        }
        catch
        {
            Remove(making);
            throw;
        }

        try
        {
            Together(() =>
            {
                Run("INSERT INTO jobs (id, created, changed, revision) VALUES ($id, $now, $now, 1)", ("$id", id), ("$now", Now()));
                Run("INSERT INTO revisions (job, number, what, state) VALUES ($id, 1, '', $state)", ("$id", id), ("$state", state.ToJson()));
            });
        }
        catch (IOException)
        {
            Remove(Path.Combine(_folder.Jobs, id));
            throw;
        }

        Tell();
        return Find(id)!;
    }

    // Two programs over one folder would each take what the other is just making for what a killed one left. The system
    // lets go of it when the process ends, however it ends.
    private static FileStream Hold(WorkshopFolder folder)
    {
        var path = Path.Combine(folder.Root, "workshop.lock");
        var wasThere = File.Exists(path);
        try
        {
            return new FileStream(path, FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None);
        }
        catch (IOException) when (wasThere && File.Exists(path))
        {
            throw new IOException("another workshop is open over it");
        }
    }

    // What a killed process left half made, and what was deleted long ago.
    private void Sweep()
    {
        var old = Rows("SELECT id FROM jobs WHERE deleted < $then", [("$then", Text(_clock.GetUtcNow() - _kept))], row => row.GetString(0));
        foreach (var id in old)
        {
            Run("DELETE FROM jobs WHERE id = $id", ("$id", id));
        }

        var known = Rows("SELECT id FROM jobs", [], row => row.GetString(0)).ToHashSet(StringComparer.Ordinal);
        foreach (var folder in Directory.EnumerateDirectories(_folder.Jobs))
        {
            var name = Path.GetFileName(folder);
            if (name.StartsWith(MakingPrefix, StringComparison.Ordinal) || (IsId(name) && !known.Contains(name)))
            {
                Remove(folder);
            }
        }
    }

    // A new folder is its owner's alone; one that was there before stays as its owner has it.
    private static void MakePrivate(string folder)
    {
        if (OperatingSystem.IsWindows() || Directory.Exists(folder))
        {
            Directory.CreateDirectory(folder);
        }
        else
        {
            Directory.CreateDirectory(folder, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
        }
    }

    private static void Remove(string folder)
    {
        try
        {
            Directory.Delete(folder, recursive: true);
        }
        catch (IOException)
        {
            // The next start tries again.
        }
    }

    private static bool IsId(string name) => name.Length == IdLength && name.All(c => IdLetters.Contains(c, StringComparison.Ordinal));

    private static string NewId() => RandomNumberGenerator.GetString(IdLetters, IdLength);

    private string Now() => Text(_clock.GetUtcNow());

    private static string Text(DateTimeOffset time) => time.ToUniversalTime().ToString("yyyy-MM-dd'T'HH:mm:ss.fff'Z'", CultureInfo.InvariantCulture);

    private ImmutableArray<JobEntry> Read(string where, (string, object)[] values) =>
    [
        .. Rows("SELECT j.id, j.created, j.changed, j.digest, r.state FROM jobs j JOIN revisions r ON r.job = j.id AND r.number = j.revision " + where, values, row => new JobEntry
        {
            Id = row.GetString(0),
            Created = DateTimeOffset.Parse(row.GetString(1), CultureInfo.InvariantCulture),
            Changed = DateTimeOffset.Parse(row.GetString(2), CultureInfo.InvariantCulture),
            Digest = row.IsDBNull(3) ? null : System.Text.Json.JsonSerializer.Deserialize(row.GetString(3), DigestJson.Default.JobDigest),
            Title = JobState.FromJson(row.GetString(4)).Title,
            Pictures = _pictures.GetValueOrDefault(row.GetString(0)),
        }),
    ];

    private List<T> Rows<T>(string sql, (string, object)[] values, Func<SqliteDataReader, T> read)
    {
        lock (_lock)
        {
            using var command = Command(sql, values);
            using var reader = command.ExecuteReader();
            var rows = new List<T>();
            while (reader.Read())
            {
                rows.Add(read(reader));
            }

            return rows;
        }
    }

    // Whoever changes something learns in one way that it could not be kept.
    private void Run(string sql, params (string, object)[] values)
    {
        lock (_lock)
        {
            try
            {
                using var command = Command(sql, values);
                command.ExecuteNonQuery();
            }
            catch (SqliteException failure)
            {
                throw new IOException(failure.Message, failure);
            }
        }
    }

    private void RunAndTell(string sql, params (string, object)[] values)
    {
        Run(sql, values);
        Tell();
    }

    // Never while the database is held: whoever is told may ask for the list.
    private void Tell() => Changed?.Invoke(this, EventArgs.Empty);

    private void Together(Action changes)
    {
        lock (_lock)
        {
            try
            {
                using var all = _database.BeginTransaction();
                changes();
                all.Commit();
            }
            catch (SqliteException failure)
            {
                throw new IOException(failure.Message, failure);
            }
        }
    }

    [SuppressMessage("Security", "CA2100", Justification = "Every text of a command is a constant of this class; values are parameters.")]
    private SqliteCommand Command(string sql, (string Name, object Value)[] values)
    {
        var command = _database.CreateCommand();
        command.CommandText = sql;
        foreach (var (name, value) in values)
        {
            command.Parameters.AddWithValue(name, value);
        }

        return command;
    }
}

[System.Text.Json.Serialization.JsonSerializable(typeof(JobDigest))]
internal sealed partial class DigestJson : System.Text.Json.Serialization.JsonSerializerContext;
