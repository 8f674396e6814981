using System.Collections.Immutable;
using Stencilwright.Workbench.Settings;

namespace Stencilwright.Workbench.Shop;

/// <summary>Words for the kinds, and which settings belong to each.</summary>
public static class ShopKinds
{
    // Whatever begins with one of these belongs to the kind, so that a new setting of G-code needs no entry here.
    private static readonly string[] _laserPrefixes = ["laser_", "gcode_", "svg_", "dxf_", "work_area_", "travel_", "corner_", "machine_", "pointer_"];

    private static readonly string[] _laser =
    [
        "acceleration_mm_s2", "scale_x", "scale_y", "skew_mrad", "kerf_x_mm", "kerf_y_mm", "frame_kerf_mm", "score_power_percent",
        "score_speed_mm_s", "film_heat_percent", "film_lies_on", "film_heat_loss_w_m2k", "smallest_web_mm", "power_follows_speed", "files_per_operation",
        "kerf_energy_exponent", "start_mark_mm", "start_overlap_mm", "lead_in_mm", "taper_mm", "start_points",
    ];

    private static readonly string[] _film =
        ["kerf_x_mm", "kerf_y_mm", "score_power_percent", "score_speed_mm_s", "smallest_web_mm", "reheat_weight", "cut_from_board_side"];

    private static readonly string[] _board = ["board_thickness_mm", "frame_clearance_mm", "outline_gap_mm"];

    private static readonly string[] _paste = ["paste", "pastes_at_hand", "release_measurements"];

    private static readonly string[] _rules = ["aperture_rules", "cut_balance", "smallest_web_mm", "films_at_hand_mm"];

    /// <summary>All kinds in the order in which they are listed and applied: later ones win.</summary>
    public static ImmutableArray<ShopKind> All { get; } =
        [ShopKind.Laser, ShopKind.Film, ShopKind.Frame, ShopKind.Board, ShopKind.Paste, ShopKind.Rules];

    /// <summary>The kind's word in files and on the command line, which is also the setting that names one, but for rules.</summary>
    public static string Word(this ShopKind kind) => kind switch
    {
        ShopKind.Laser => "laser",
        ShopKind.Film => "film",
        ShopKind.Frame => "frame",
        ShopKind.Board => "board",
        ShopKind.Paste => "paste",
        _ => "rules",
    };

    /// <summary>The word for several, and the folder they are kept in.</summary>
    public static string Plural(this ShopKind kind) => kind == ShopKind.Rules ? "rules" : kind.Word() + "s";

    /// <summary>The setting by which a job names a thing of that kind.</summary>
    public static string Chooser(this ShopKind kind) => kind == ShopKind.Rules ? "aperture_rules" : kind.Word();

    /// <summary>The kind of that word, one or several (<c>film</c>, <c>films</c>), or null.</summary>
    public static ShopKind? Parse(string word)
    {
        foreach (var kind in All)
        {
            if (word == kind.Word() || word == kind.Plural())
            {
                return kind;
            }
        }

        return null;
    }

    /// <summary>Whether a thing of that kind may bring a setting.</summary>
    public static bool MayHold(this ShopKind kind, string setting)
    {
        ArgumentNullException.ThrowIfNull(setting);
        if (setting.Contains("_offset_", StringComparison.Ordinal))
        {
            // Where a board lies on its sheets belongs to the job.
            return false;
        }

        return kind switch
        {
            ShopKind.Laser => _laser.Contains(setting) || Array.Exists(_laserPrefixes, p => setting.StartsWith(p, StringComparison.Ordinal)),
            ShopKind.Film => _film.Contains(setting) || setting.StartsWith("film_", StringComparison.Ordinal),
            ShopKind.Frame => setting.StartsWith("frame_", StringComparison.Ordinal),
            ShopKind.Board => _board.Contains(setting),
            ShopKind.Paste => _paste.Contains(setting) || setting.StartsWith("release_", StringComparison.Ordinal),
            _ => _rules.Contains(setting) || setting.StartsWith("thin_web", StringComparison.Ordinal),
        };
    }

    /// <summary>The settings that a thing of that kind may bring, in the order in which they are written.</summary>
    public static ImmutableArray<Setting> SettingsOf(this ShopKind kind) => [.. SettingsCatalogue.All.Where(s => kind.MayHold(s.Name))];

    /// <summary>The kind that a setting names a thing of, or null.</summary>
    internal static ShopKind? ChosenBy(string setting)
    {
        foreach (var kind in All)
        {
            if (setting == kind.Chooser())
            {
                return kind;
            }
        }

        return null;
    }
}
