namespace Stencilwright.Artwork.Svg;

/// <summary>A selector such as <c>g.pads > .dark path</c>: simple selectors joined by descent (CSS 2.1, chapter 5).</summary>
internal sealed class SvgSelector
{
    // The steps from the element outwards; each says how its own outer neighbour is joined to it.
    private readonly List<Step> _steps = [];

    private SvgSelector()
    {
    }

    private sealed record Step(string Type, string Id, List<string> Classes)
    {
        /// <summary>True when the next outer step is the parent and not any ancestor.</summary>
        public bool IsChild { get; set; }
    }

    /// <summary>Ids count before classes and classes before types (CSS 2.1, 6.4.3).</summary>
    public int Weight { get; private set; }

    /// <summary>Null when the text has a part of another kind.</summary>
    public static SvgSelector? TryParse(string text)
    {
        var selector = new SvgSelector();
        var at = 0;
        var isChild = false;
        while (at < text.Length)
        {
            if (!selector.TryStep(text, ref at))
            {
                return null;
            }

            selector._steps[^1].IsChild = isChild;
            isChild = false;
            while (at < text.Length && (char.IsWhiteSpace(text[at]) || text[at] == '>'))
            {
                if (text[at++] == '>')
                {
                    if (isChild)
                    {
                        return null;
                    }

                    isChild = true;
                }
            }
        }

        selector._steps.Reverse();
        return selector._steps.Count == 0 || isChild ? null : selector;
    }

    private bool TryStep(string text, ref int at)
    {
        var (type, id, classes, from) = ("", "", new List<string>(), at);
        while (at < text.Length && !char.IsWhiteSpace(text[at]) && text[at] != '>')
        {
            var mark = text[at];
            var start = mark is '.' or '#' ? at + 1 : at;
            var end = start;
            while (end < text.Length && (char.IsLetterOrDigit(text[end]) || text[end] is '-' or '_' or '*'))
            {
                end++;
            }

            if (end == start || (mark is not ('.' or '#') && at > from))
            {
                return false;
            }

            var name = text[start..end];
            switch (mark)
            {
                case '.':
                    classes.Add(name);
                    Weight += 1_000;
                    break;
                case '#':
                    id = name;
                    Weight += 1_000_000;
                    break;
                default:
                    type = name == "*" ? "" : name;
                    Weight += name == "*" ? 0 : 1;
                    break;
            }

            at = end;
        }

        _steps.Add(new Step(type, id, classes));
        return at > from;
    }

    /// <summary>Whether the element, where it stands, is meant.</summary>
    public bool Meets(SvgElement element)
    {
        if (!Meets(_steps[0], element))
        {
            return false;
        }

        if (_steps.Count == 1)
        {
            return true;
        }

        var line = new List<SvgElement>();
        for (var at = element; at is not null; at = at.Parent)
        {
            line.Add(at);
        }

        // Where along the ancestors each step can stand, step by step: no choice has to be taken back.
        var stands = new bool[line.Count];
        stands[0] = true;
        for (var i = 1; i < _steps.Count; i++)
        {
            var next = new bool[line.Count];
            var isBelow = false;
            for (var j = 1; j < line.Count; j++)
            {
                isBelow |= stands[j - 1];
                next[j] = (_steps[i - 1].IsChild ? stands[j - 1] : isBelow) && Meets(_steps[i], line[j]);
            }

            stands = next;
        }

        return Array.IndexOf(stands, true) >= 0;
    }

    private static bool Meets(Step step, SvgElement element)
    {
        if ((step.Type.Length > 0 && step.Type != element.Name) || (step.Id.Length > 0 && step.Id != element.Attribute("id")))
        {
            return false;
        }

        foreach (var name in step.Classes)
        {
            if (!HasWord(element.Attribute("class"), name))
            {
                return false;
            }
        }

        return true;
    }

    private static bool HasWord(string? words, string wanted)
    {
        foreach (var range in words.AsSpan().SplitAny(" \t\r\n"))
        {
            if (words.AsSpan()[range].SequenceEqual(wanted))
            {
                return true;
            }
        }

        return false;
    }
}
