namespace Stencilwright.Boards.Parts;

/// <summary>Tells the kind of a part whose openings are known.</summary>
internal static class GroupJudge
{
    /// <summary>Looks at the openings by themselves; when they fall into several arrangements the largest decides, with doubt.</summary>
    public static BoardPart Judge(Pad[] pads, List<int> members)
    {
        var own = new Pad[members.Count];
        for (var k = 0; k < own.Length; k++)
        {
            own[k] = pads[members[k]];
        }

        var drafts = FootprintFinder.Drafts(own);
        var main = drafts[0];
        foreach (var draft in drafts)
        {
            main = draft.Pads.Count > main.Pads.Count ? draft : main;
        }

        if (drafts.Count == 1)
        {
            return FootprintFinder.Part(main, members);
        }

        // Contacts in a row and something else beside them: a connector. Any other mixture is left open.
        var isConnector = main.Class == PartClass.Connector && main.Pads.Count >= 4;
        var isMost = main.Pads.Count >= 0.7 * own.Length && main.Class is PartClass.QuadFlat or PartClass.QuadNoLead or PartClass.GridArray or PartClass.SmallOutline or PartClass.DualNoLead;
        var whole = new Draft(isConnector || isMost ? main.Class : PartClass.Unknown, isConnector ? 0.8 : isMost ? 0.7 : 0.3, "")
        {
            RotationDeg = main.RotationDeg,
            PitchMm = main.PitchMm,
            Center = Leftovers.MiddleOf(own, [.. Enumerable.Range(0, own.Length)]),
            Why = $"{main.Why}; and {own.Length - main.Pads.Count} more that the artwork gives the same name",
        };
        foreach (var draft in drafts)
        {
            foreach (var (pad, function) in draft.Pads)
            {
                whole.Pads.Add((pad, draft == main ? function : isConnector ? PadFunction.Anchor : PadFunction.Terminal));
            }
        }

        return FootprintFinder.Part(whole, members);
    }
}
