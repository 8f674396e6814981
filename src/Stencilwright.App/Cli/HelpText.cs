using System.Globalization;
using System.Text;
using Stencilwright.Foundation;
using Stencilwright.Workbench.Settings;

namespace Stencilwright.App.Cli;

/// <summary>What <c>--help</c> prints. Written by hand so that it reads as one page and stays the same at every terminal width.</summary>
internal static class HelpText
{
    private const string Common = """
          --json              print the result as JSON on standard output, and nothing else there
          --job FILE.toml     settings file; may be repeated, later ones win
          --set NAME=VALUE    one setting, wins over the files; may be repeated
          --role FILE=ROLE    say what a file is, when it was taken for something else
          --side SIDE         top, bottom or both (default both)
          --fail-on SEVERITY  exit with 1 when a finding is at least a note, warning or error,
                              or never (default error)
          --quiet             print errors only
          --no-color          no colours (the NO_COLOR variable does the same)
          --help              this page

        """;

    /// <summary>The page of a command, or of the program.</summary>
    public static string For(string command, string version) => command switch
    {
        "survey" => Survey(),
        "prepare" => Prepare(),
        "coupon" => Coupon(),
        "calibrate" => Calibrate(),
        "serve" => Serve(),
        "shop" => Shop(),
        _ => Root(version),
    };

    /// <summary>The program's page.</summary>
    public static string Root(string version) => $"""
        stencilwright {version}: solder-paste stencils from polyester film, cut on a small CO2 laser.

        Usage:
          stencilwright survey PATH…             says what the artwork holds; writes nothing
          stencilwright prepare PATH… --out DIR  makes everything needed to cut and print
          stencilwright coupon --out DIR         makes a sheet to cut and measure, once for a laser and a film
          stencilwright calibrate --coupon DIR --measured FILE.csv
                                                 fits kerf, scale and skew from what was measured
          stencilwright serve                    opens the workshop in a browser on this machine
          stencilwright shop list [KIND]         shows your lasers, films, frame materials, boards,
                                                 pastes and rules; also show, add, copy, remove

        PATH is a zip package, a folder, or single files; several may be given.
        A single - reads one file from standard input.

        Examples:
          stencilwright survey board.zip
          stencilwright prepare board.zip --out job
          stencilwright prepare board.zip --out job --set film=polyester-102 --set board=board-1.6
          stencilwright coupon --out coupon

        `stencilwright COMMAND --help` shows the options of a command.

        Exit codes: 0 done; 1 done, but a finding reached --fail-on; 2 the command line was not
        understood; 3 the input is not usable; 4 the output could not be written; 5 a fault of
        the program.

        """;

    private static string Survey() => $"""
        Says what the artwork holds and which part each file plays. Writes nothing.

        Usage:
          stencilwright survey PATH… [options]

        Options:
        {Common}
        Roles: paste-top, paste-bottom, outline, copper-top, copper-bottom, mask-top, mask-bottom,
        legend-top, legend-bottom, drill-plated, drill-nonplated, placement, ignore.

        Examples:
          stencilwright survey board.zip
          stencilwright survey gerbers/ --json
          stencilwright survey a.gbr b.gbr --role a.gbr=paste-top --role b.gbr=outline

        """;

    private static string Serve() => $"""
        stencilwright serve

        Opens the workshop as pages in a browser: the whole job without a command line. It listens
        on this machine alone unless told otherwise; then it wants a password.

          --port N         port to listen on (default {Web.ServerChoice.UsualPort}; 0 takes any free one)
          --listen ADDRESS address to listen on (default 127.0.0.1; 0.0.0.0 for the whole network,
                           where a reverse proxy with TLS belongs in front of it)
          --data DIR       where jobs and shop are kept (default: the user's data folder)
          --new-password   forget the password and print the code for setting another
          --quiet          print errors only
          --no-color       no colours (the NO_COLOR variable does the same)
          --help           this page

        """;

    private static string Coupon() => """
        Makes a calibration coupon: a sheet of squares, slots, circles, rings, ladders, corners,
        rulers and diagonals, drawn without any compensation. Cut it, measure it, and let
        `stencilwright calibrate` find out what your laser does to your film.

        Usage:
          stencilwright coupon --out DIR [options]

        Writes coupon.svg, coupon.dxf and coupon.nc (to cut), coupon.png (to look at), coupon.json
        (what is where) and measured.csv (to fill in).

        Options:
          --out DIR           folder to write into; made when it does not exist
          --matrix            a power and speed coupon instead: squares cut with every combination
          --json              print coupon.json on standard output, and nothing else there
          --job FILE.toml     settings file; may be repeated, later ones win
          --set NAME=VALUE    one setting, wins over the files; may be repeated
          --quiet             print errors only
          --no-color          no colours (the NO_COLOR variable does the same)
          --help              this page

        Settings that matter: film_blank_mm, film_thickness_mm, film_power_percent,
        film_speed_mm_s, score_power_percent, score_speed_mm_s, and those of G-code.
        Kerf, scale and skew are left out of account on purpose.

        Examples:
          stencilwright coupon --out coupon
          stencilwright coupon --out small --set film_blank_mm=70x70
          stencilwright coupon --out matrix --matrix --set film_power_percent=12

        """;

    private static string Calibrate() => """
        Fits kerf, scale and skew from a cut coupon, with standard errors and 95 % intervals.
        Readings that do not fit the others are set aside and named.

        Usage:
          stencilwright calibrate --coupon DIR --measured FILE.csv [options]

        Options:
          --coupon DIR        folder that `stencilwright coupon` wrote
          --measured FILE     table id,widthMm,heightMm of sizes measured on the cut coupon
          --out FILE.toml     keep the result as a recipe for prepare --job
          --json              print the result as JSON on standard output, and nothing else there
          --fail-on SEVERITY  exit with 1 when there is at least a note, warning or error to say,
                              or never (default error)
          --quiet             print errors only
          --no-color          no colours (the NO_COLOR variable does the same)
          --help              this page

        The table may leave cells empty: what was not measured is not used. Write 0 or torn for
        an opening that did not open or a rung whose film tore, open for one that is open but was
        not measured. An id with :slug behind it is what fell out of the opening.

        Examples:
          stencilwright calibrate --coupon coupon --measured coupon/measured.csv
          stencilwright calibrate --coupon coupon --measured coupon/measured.csv --out recipe.toml
          stencilwright prepare board.zip --out job --job recipe.toml

        """;

    private static string Shop() => """
        Keeps what your shop has: lasers, films, frame materials, boards, pastes and rules, each
        with the settings that go with it. A job names them: --set laser=NAME, --set film=NAME,
        frame, board, paste and aperture_rules, or the same in a job file.

        Usage:
          stencilwright shop list [KIND]             what there is
          stencilwright shop show KIND NAME          one thing as TOML
          stencilwright shop add FILE.toml…          keeps what the files describe
          stencilwright shop copy KIND NAME NEWNAME  one like it, to change
          stencilwright shop remove KIND NAME        removes one of yours

        KIND is laser, film, frame, board, paste or rules.

        Options:
          --json              with list: the result as JSON on standard output
          --quiet             print errors only
          --no-color          no colours (the NO_COLOR variable does the same)
          --help              this page

        Yours lie in the folder that STENCILWRIGHT_SHOP names, else in
        $XDG_DATA_HOME/stencilwright/shop or ~/.local/share/stencilwright/shop (on Windows
        stencilwright\shop in the local application data), one TOML file each, and win over shipped
        ones of the same name. Whatever a job file or --set says wins over the thing named.

        Examples:
          stencilwright shop list films
          stencilwright shop copy film polyester-102 my-film
          stencilwright shop show laser small-co2 > my-laser.toml
          stencilwright prepare board.zip --out job --set laser=small-co2 --set film=my-film

        """;

    private static string Prepare()
    {
        var text = new StringBuilder($"""
            Makes everything needed to cut and print from the artwork: cut paths of film and frame,
            a paper template, a picture, a table of openings, the job sheet and a report.

            Usage:
              stencilwright prepare PATH… --out DIR [options]

            Options:
              --out DIR           folder to write into; made when it does not exist
              --beside PATH       another board for the same frame, to the right of the
                                  first; may be given again
              --only PARTS        a small stencil with tabs for some parts, U3,C12, or for a
                                  rectangle of the board, x0,y0,x1,y1 in mm
            {Common}
            Examples:
              stencilwright prepare board.zip --out job
              stencilwright prepare gerbers/ --out job --side top --set kerf_x_mm=0.14
              stencilwright prepare board.zip --out job --set film_blank_mm=4inx4in --json
              stencilwright prepare board.zip --out rework --only U3,C12

            Settings (lengths in mm, or with a unit: 4mil, 0.004in, 100um) and their defaults:

            """);
        foreach (var setting in SettingsCatalogue.All)
        {
            var value = setting.Get(JobSettings.Default);
            var shown = setting.Kind switch
            {
                SettingKind.Size => string.Create(CultureInfo.InvariantCulture, $"{value.Size.WidthMm:0.####}x{value.Size.HeightMm:0.####}"),
                SettingKind.Flag => value.Flag ? "true" : "false",
                SettingKind.Text => value.Text.Length == 0 ? "(empty)" : value.Text,
                _ => value.Number.ToString("0.####", CultureInfo.InvariantCulture),
            };
            Entry(text, setting.Name, shown, setting.Help);
        }

        return text.ToString();
    }

    // Name, default, and what it means, wrapped below itself.
    private static void Entry(StringBuilder text, string name, string value, string help)
    {
        const int Indent = 52;
        const int Widest = 104;
        text.Append("  ").Append(name.PadRight(28)).Append(' ');
        var left = value.Length > 20 ? value.Length + 1 : 21;
        text.Append(value.PadRight(left));
        var column = 31 + left;
        foreach (var word in help.Split(' '))
        {
            if (column + word.Length > Widest)
            {
                text.Length--;
                text.Append('\n').Append(' ', Indent);
                column = Indent;
            }

            text.Append(word).Append(' ');
            column += word.Length + 1;
        }

        text.Length--;
        text.Append('\n');
    }
}
