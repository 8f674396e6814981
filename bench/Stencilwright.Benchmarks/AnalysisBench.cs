using System.Diagnostics;
using System.Globalization;
using System.Text;
using Stencilwright.Artwork;
using Stencilwright.Artwork.Gerber;
using Stencilwright.Boards;
using Stencilwright.Boards.Parts;
using Stencilwright.Design.Printing;
using Stencilwright.Design.Rules;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Benchmarks;

/// <summary>Times what the program does to know ten thousand openings: parts, rules, webs, widths, verdicts, advice.</summary>
internal static class AnalysisBench
{
    /// <summary>A table of the first and the least time of each step.</summary>
    /// <param name="pasteFile">A Gerber paste layer, such as <c>board DIR 10000</c> writes.</param>
    public static string Table(string pasteFile)
    {
        var source = new SourceText(pasteFile, File.ReadAllBytes(pasteFile));
        var document = GerberReader.Read(source, ReadLimits.Default, CancellationToken.None).Value!;
        var image = GerberImage.Compose(document, ReadLimits.Default, CancellationToken.None).Value!;
        var paste = PasteSorter.Sort(image, null);
        var names = new[] { "parts", "rules", "webs", "widths and forms", "verdicts", "parts judged, films compared" };
        var times = names.Select(_ => new List<double>()).ToArray();
        for (var round = 0; round < 7; round++)
        {
            var parts = Time(0, () => PartNames.Join(FootprintFinder.Find(paste), paste, true, []));
            var shaped = Time(1, () => ApertureShaper.Shape(RuleSet.Default, new ShapingContext { Side = BoardSide.Top, Paste = paste, Parts = parts }));
            var shapes = shaped.Openings.SelectMany(o => o.Parts).Select(p => p.Design).ToArray();
            var webs = Time(2, () => WebSearch.Nearest(shapes, 5));
            var forms = Time(3, () => Array.ConvertAll(shapes, s => new OpeningForm(s.AreaMm2, s.PerimeterMm, RegionWidth.Narrowest(s).DiameterMm, Math.Max(s.Bounds.Width, s.Bounds.Height))));
            var now = PrintConditions.Of(JobSettings.Default);
            _ = Time(4, () => forms.Select((f, i) => Printability.Judge(f, webs[i]?.WidthMm, now)).ToArray());
            var subjects = forms.Select((f, i) => new PrintSubject { Id = "a", Part = -1, Function = PadFunction.Terminal, Form = f, WebMm = webs[i]?.WidthMm, WantedAreaMm2 = f.AreaMm2 }).ToArray();
            _ = Time(5, () =>
            {
                var (films, pastes) = (FilmAdvice.FilmsOf(JobSettings.Default.FilmsAtHandMm), FilmAdvice.PastesOf("", JobSettings.Default.Paste));
                return (new PartJudge(now, films, pastes).Judge(parts.Parts, subjects), FilmAdvice.Of(parts.Parts, subjects, now, films, pastes));
            });
        }

        var text = new StringBuilder(string.Create(CultureInfo.InvariantCulture, $"{paste.Openings.Length} openings, milliseconds\n"));
        for (var i = 0; i < names.Length; i++)
        {
            text.Append(CultureInfo.InvariantCulture, $"{names[i],-32} first {times[i][0],7:0.0}  least {times[i].Min(),7:0.0}\n");
        }

        return text.Append(CultureInfo.InvariantCulture, $"{"all",-32} first {times.Sum(t => t[0]),7:0.0}  least {times.Sum(t => t.Min()),7:0.0}\n").ToString();

        T Time<T>(int step, Func<T> work)
        {
            var clock = Stopwatch.StartNew();
            var result = work();
            times[step].Add(clock.Elapsed.TotalMilliseconds);
            return result;
        }
    }
}
