using Stencilwright.Foundation;

namespace Stencilwright.Artwork.Gerber;

/// <content>The graphics state, and operations carried out in it.</content>
internal ref partial struct GerberParser
{
    /// <summary>A list being filled: the file's, or that of a block aperture whose definition is open.</summary>
    private sealed class Frame(GerberItemList list, int number, int offset)
    {
        public GerberItemList List { get; } = list;

        public int Number { get; } = number;

        public int Offset { get; } = offset;

        /// <summary>Index of the item that opened a repetition, or -1.</summary>
        public int RepeatItem { get; set; } = -1;

        public long ObjectsBeforeRepeat { get; set; }

        public long WorkBeforeRepeat { get; set; }
    }

    private static string Text(FormattableString text) => FormattableString.Invariant(text);

    private void ExecuteWord(int start)
    {
        if (!_hasX && !_hasY && _operation == 0)
        {
            return;
        }

        if (_numberBad)
        {
            _diagnostics.Error(GerberCodes.BadNumber, start, "A coordinate has no digits, so the operation was skipped; export the file again.");
            return;
        }

        var x = _hasX ? (_incremental ? _x + _wordX : _wordX) : _x;
        var y = _hasY ? (_incremental ? _y + _wordY : _wordY) : _y;
        if (x != (int)x || y != (int)y || _wordI != (int)_wordI || _wordJ != (int)_wordJ)
        {
            _diagnostics.Error(GerberCodes.BadNumber, start, "A coordinate is larger than Gerber allows (32 bits), so the operation was skipped; export the file again.");
            return;
        }

        var operation = _operation != 0 ? _operation : ModalOperation(start);
        _lastOperation = operation;
        switch (operation)
        {
            case 1:
                Draw((int)x, (int)y, start);
                break;
            case 2:
                Move((int)x, (int)y, start);
                break;
            default:
                Flash((int)x, (int)y, start);
                break;
        }
    }

    private int ModalOperation(int start)
    {
        switch (_lastOperation)
        {
            case 1:
                return 1;
            case 0:
                _diagnostics.Once(GerberCodes.ModalOperation, Severity.Warning, start, "Coordinates come before any D01, D02 or D03; they were read as a move, so check the start of the image.");
                return 2;
            default:
                _diagnostics.Once(
                    GerberCodes.ModalOperation,
                    Severity.Warning,
                    start,
                    "Coordinates without a D code follow a move or a flash; the last operation was repeated, as older exporters mean it, so check the image.");
                return _lastOperation;
        }
    }

    private void Move(int x, int y, int offset)
    {
        if (_inRegion)
        {
            CloseContour();
        }

        (_x, _y) = (x, y);
        Emit(ItemKind.Move, offset, x, y);
        if (_inRegion)
        {
            OpenContourHere(offset);
        }
    }

    private void OpenContourHere(int offset)
    {
        (_contourOpen, _contourHasSegment) = (true, false);
        (_contourX, _contourY, _contourOffset) = (_x, _y, offset);
    }

    private void Draw(int x, int y, int offset)
    {
        if (_inRegion)
        {
            if (!_contourOpen)
            {
                _diagnostics.Warn(GerberCodes.OpenContour, offset, "A contour starts without a move (D02); it was started at the current point, so check its shape.");
                OpenContourHere(offset);
            }

            if (!_contourHasSegment)
            {
                _contourHasSegment = true;
                Count(1, 0);
            }
        }
        else if (!HasPen(offset))
        {
            (_x, _y) = (x, y);
            Emit(ItemKind.Move, offset, x, y);
            return;
        }
        else
        {
            Count(1, 0);
        }

        var kind = _mode;
        if (kind != ItemKind.Line && _singleQuadrant)
        {
            kind = kind == ItemKind.Clockwise ? ItemKind.QuadrantClockwise : ItemKind.QuadrantCounterClockwise;
        }

        if (kind != ItemKind.Line && !_hasCenter)
        {
            _diagnostics.Once(GerberCodes.ArcWithoutCenter, Severity.Warning, offset, "An arc has no centre (I and J), so it was drawn as a straight line; check the image.");
            kind = ItemKind.Line;
        }

        (_x, _y) = (x, y);
        Emit(kind, offset, x, y);
        if (kind != ItemKind.Line)
        {
            Emit(ItemKind.Center, offset, (int)_wordI, (int)_wordJ);
        }
    }

    private bool HasPen(int offset)
    {
        switch (_pen)
        {
            case GerberApertureKind.Circle or GerberApertureKind.Rectangle when !_penHasHole:
                return true;
            case null:
                NoAperture(offset);
                return false;
            case GerberApertureKind.Unusable:
                return false;
            case GerberApertureKind.Block:
                _diagnostics.Once(GerberCodes.PenShape, Severity.Warning, offset, "A block aperture cannot draw, so the stroke was left out; check the image.");
                return false;
            default:
                _diagnostics.Once(
                    GerberCodes.PenShape,
                    Severity.Warning,
                    offset,
                    "Strokes may be drawn only with a circle or a rectangle; this pen was moved along without turning and all that it passes over was painted, so check the strokes.");
                return true;
        }
    }

    private void NoAperture(int offset)
    {
        // A number that is not defined was reported where it was selected; the objects are skipped quietly.
        if (_state.Aperture == -1)
        {
            _diagnostics.Once(GerberCodes.UndefinedAperture, Severity.Error, offset, "Something is drawn before any aperture was selected and was left out; export the file again.");
        }
    }

    private void Flash(int x, int y, int offset)
    {
        if (_inRegion)
        {
            _diagnostics.Once(GerberCodes.NotInRegion, Severity.Warning, offset, "A flash inside a region is not allowed and was left out; check the image.");
            return;
        }

        (_x, _y) = (x, y);
        switch (_pen)
        {
            case null:
                NoAperture(offset);
                Emit(ItemKind.Move, offset, x, y);
                return;
            case GerberApertureKind.Unusable:
                Emit(ItemKind.Move, offset, x, y);
                return;
            case GerberApertureKind.Block:
                var block = _tables.Apertures[_state.Aperture].Block!;
                Count(block.ObjectCount, block.Work);
                _frame.List.Depth = Math.Max(_frame.List.Depth, block.Depth + 1);
                break;
            default:
                Count(1, 0);
                break;
        }

        Emit(ItemKind.Flash, offset, x, y);
    }

    private void Emit(ItemKind kind, int offset, int x, int y)
    {
        if (_frame.List.Count >= _limits.MaxVertices)
        {
            _diagnostics.Once(GerberCodes.TooMany, Severity.Error, offset, "The file has more operations than this program accepts, so reading stopped here; split the layer.");
            _ended = true;
            return;
        }

        if (_stateIndex < 0)
        {
            if (_tables.States.Count >= GerberItem.MaxState)
            {
                _ended = true;
                return;
            }

            _stateIndex = _tables.States.Count;
            _tables.States.Add(_state);
        }

        _reach |= Magnitude(x) | Magnitude(y);
        _frame.List.Work = Saturating(_frame.List.Work, 1);
        _frame.List.Add(new GerberItem(kind, offset, _stateIndex, x, y));
    }

    // The bits of |v|, or of one less: enough to bound it.
    private static int Magnitude(int v) => v ^ (v >> 31);

    private void Count(long objects, long work)
    {
        _frame.List.ObjectCount = Saturating(_frame.List.ObjectCount, objects);
        _frame.List.Work = Saturating(_frame.List.Work, work);
    }

    private static long Saturating(long a, long b) => a > long.MaxValue - b ? long.MaxValue : a + b;

    private static long SaturatingProduct(long a, long b) => a != 0 && b > long.MaxValue / a ? long.MaxValue : a * b;

    private void SelectAperture(int number, int offset)
    {
        _stateIndex = -1;
        if (_apertureIndex.TryGetValue(number, out var index))
        {
            _state = _state with { Aperture = index };
            _pen = _tables.Apertures[index].Kind;
            _penHasHole = _tables.Apertures[index].HasHole;
            return;
        }

        _diagnostics.Once(GerberCodes.UndefinedAperture, Severity.Error, offset, Text($"Aperture D{number} is used but not defined, so what it paints was left out; export the file again with its apertures."));
        _state = _state with { Aperture = -2 };
        _pen = null;
    }

    private void BeginRegion(int offset)
    {
        if (_inRegion)
        {
            _diagnostics.Warn(GerberCodes.LeftOpen, offset, "A region starts before the last one was ended (G37); the last one was ended here, so check the image.");
            EndRegion(offset);
        }

        _state = _state with { RegionFunction = _apertureFunction };
        _stateIndex = -1;
        (_inRegion, _contourOpen) = (true, false);
        Emit(ItemKind.BeginRegion, offset, 0, 0);
    }

    private void EndRegion(int offset)
    {
        if (!_inRegion)
        {
            _diagnostics.Warn(GerberCodes.OpenContour, offset, "A region is ended (G37) that was never started; the command was skipped, so check the image.");
            return;
        }

        CloseContour();
        _inRegion = false;
        Emit(ItemKind.EndRegion, offset, 0, 0);
    }

    private void CloseContour()
    {
        if (_contourOpen && _contourHasSegment && (_x != _contourX || _y != _contourY))
        {
            _diagnostics.Once(GerberCodes.OpenContour, Severity.Warning, _contourOffset, "A contour does not end where it starts (perhaps others too); it was closed by a straight line, so check its shape.");
        }

        _contourOpen = false;
    }

    private GerberDocument Finish()
    {
        CheckTail();
        while (true)
        {
            CloseFrame(_pos);
            if (_outerFrames.Count == 0)
            {
                break;
            }

            _diagnostics.Warn(GerberCodes.LeftOpen, _frame.Offset, "A block aperture is not closed (%AB*%); it was closed at the end of the file, so check the image.");
            CloseBlock(_pos);
        }

        if (!_hasFormat && _frame.List.Count > 0)
        {
            _diagnostics.Error(GerberCodes.NoFormat, 0, "The file does not state its number format (%FS), so its size is unknown; 6 decimals were assumed, export it again with a format statement.");
        }

        var unit = DecideUnit();
        var limit = new CoordinateLimit(_limits, unit, _decimalsX, _decimalsY, _diagnostics);
        if (limit.MayBeReached(_reach))
        {
            limit.Apply(_frame.List);
            foreach (var aperture in _tables.Apertures)
            {
                if (aperture.Block is { } block)
                {
                    limit.Apply(block);
                }
            }
        }

        var objects = _frame.List.ObjectCount;
        if (objects > _limits.MaxObjects || _frame.List.Work > _limits.MaxVertices)
        {
            _diagnostics.Once(
                GerberCodes.TooMany,
                Severity.Error,
                0,
                Text($"Repetition and blocks make more objects than the {_limits.MaxObjects} that this program accepts, so the layer cannot be painted; export one copy of the board."));
        }

        return new GerberDocument(_source, _frame.List, _tables)
        {
            Unit = unit,
            DecimalsX = _decimalsX,
            DecimalsY = _decimalsY,
            FileAttributes = _fileAttributes.ToImmutable(),
            Apertures = [.. _tables.Apertures],
            Image = _image,
        };
    }

    private void CheckTail()
    {
        if (!_ended)
        {
            _diagnostics.Warn(GerberCodes.NoEnd, _bytes.Length, "The file has no end command (M02), so it may be truncated; compare it with the original or export it again.");
            return;
        }

        while (_pos < _bytes.Length && (_bytes[_pos] <= ' ' || _bytes[_pos] is (byte)'*' or (byte)'%' or 0x1A))
        {
            _pos++;
        }

        if (_pos < _bytes.Length && _frame.List.Count < _limits.MaxVertices)
        {
            _diagnostics.Warn(GerberCodes.AfterEnd, _pos, "There is more after the end command (M02) and it was not read; if the file holds several images, split it.");
        }
    }

    private ArtworkUnit DecideUnit()
    {
        if ((_unit ?? _oldUnit) is { } stated)
        {
            return stated;
        }

        // Formats with one or two integer digits are inch practice; a board wider than a metre is not meant.
        var inches = _integersX <= 2;
        if (inches && _frame.List.Count > 0)
        {
            long widest = 0;
            foreach (ref readonly var item in _frame.List.Span)
            {
                widest = item.Kind <= ItemKind.Flash ? Math.Max(widest, Math.Abs((long)item.X)) : widest;
            }

            inches = widest * Lengths.MillimetresPerInch / Math.Pow(10, _decimalsX) < 1000;
        }

        var name = inches ? "inches" : "millimetres";
        if (_frame.List.Count > 0)
        {
            _diagnostics.Warn(GerberCodes.NoUnit, 0, Text(
                $"The file does not state its unit (%MO); {name} were assumed from its number of digits and its extent, so check the size of the image."));
        }

        return inches ? ArtworkUnit.Inch : ArtworkUnit.Millimetre;
    }
}
