namespace Stencilwright.Samples;

/// <summary>A board under construction: parts put copper, mask and paste down together.</summary>
internal sealed class Board
{
    private const double PenMm = 0.1;
    private const double MaskMarginMm = 0.05;

    public Board(string name, bool hasBottom)
    {
        Name = name;
        Outline = new Layer("Profile,NP", "", name);
        Top = new Side(name, "Top", "L1");
        Bottom = hasBottom ? new Side(name, "Bot", "L2") : null;
        Outline.Pen(PenMm, "Profile");
    }

    public string Name { get; }

    public Layer Outline { get; }

    public Side Top { get; }

    public Side? Bottom { get; }

    /// <summary>Files by name, in order of name.</summary>
    public IEnumerable<(string File, byte[] Bytes)> Files()
    {
        yield return ($"{Name}-outline.gbr", Outline.ToBytes());
        foreach (var (side, word) in ((Side?, string)[])[(Bottom, "bottom"), (Top, "top")])
        {
            if (side is not null)
            {
                yield return ($"{Name}-{word}-copper.gbr", side.Copper.ToBytes());
                yield return ($"{Name}-{word}-mask.gbr", side.Mask.ToBytes());
                yield return ($"{Name}-{word}-paste.gbr", side.Paste.ToBytes());
            }
        }
    }

    /// <summary>One side's layers.</summary>
    internal sealed class Side
    {
        public Side(string board, string word, string copperLayer)
        {
            Copper = new Layer($"Copper,{copperLayer},{word}", "Positive", board);
            Mask = new Layer($"Soldermask,{word}", "Negative", board);
            Paste = new Layer($"Paste,{word}", "Positive", board);
        }

        public Layer Copper { get; }

        public Layer Mask { get; }

        public Layer Paste { get; }

        /// <summary>A rectangular pad with paste over all of it.</summary>
        public void Pad(string part, string pin, double x, double y, double width, double height, double radius = 0, double degrees = 0)
        {
            CopperAndMask(part, pin, x, y, width, height, radius, degrees);
            Paste.Pad(part, pin);
            Shape(Paste, x, y, width, height, radius, degrees, "Material");
        }

        /// <summary>A round pad with paste over all of it.</summary>
        public void Ball(string part, string pin, double x, double y, double diameter)
        {
            foreach (var layer in (Layer[])[Copper, Mask, Paste])
            {
                layer.Pad(part, pin);
            }

            Copper.Circle(x, y, diameter, "BGAPad,CuDef");
            Mask.Circle(x, y, diameter + (2 * MaskMarginMm), "Material");
            Paste.Circle(x, y, diameter, "Material");
        }

        public void CopperAndMask(string part, string pin, double x, double y, double width, double height, double radius = 0, double degrees = 0)
        {
            Copper.Pad(part, pin);
            Shape(Copper, x, y, width, height, radius, degrees, "SMDPad,CuDef");
            Mask.Pad(part, pin);
            Shape(Mask, x, y, width + (2 * MaskMarginMm), height + (2 * MaskMarginMm), radius == 0 ? 0 : radius + MaskMarginMm, degrees, "Material");
        }

        private static void Shape(Layer layer, double x, double y, double width, double height, double radius, double degrees, string function)
        {
            if (radius > 0 || degrees % 90 != 0)
            {
                layer.RoundRectangle(x, y, width, height, radius > 0 ? radius : 0.01, degrees, function);
            }
            else if (degrees % 180 != 0)
            {
                layer.Rectangle(x, y, height, width, function);
            }
            else
            {
                layer.Rectangle(x, y, width, height, function);
            }
        }
    }
}
