using System.Buffers.Binary;
using System.Numerics;
using System.Runtime.CompilerServices;

namespace Stencilwright.Artwork.Gerber;

/// <content>The short way for what most of a large layer consists of: <c>X1234Y-567D01*</c>.</content>
/// <remarks>Anything else, however slightly, is left to the general way, which has not lost its place.</remarks>
internal ref partial struct GerberParser
{
    // The longest operation read here, with room to fetch eight bytes at once anywhere in it.
    private const int PlainRoom = 48;

    private const ulong EachByte = 0x0101010101010101;

    /// <summary>Carries out an operation that begins at an X; false, with nothing done, when it is not of the plain form.</summary>
    private bool TryPlainOperation()
    {
        var start = _pos;
        if (_bytes.Length - start < PlainRoom || _incremental || _trailingOmitted)
        {
            return false;
        }

        var text = _bytes.Slice(start, PlainRoom);
        var at = 1;
        if (!TryPlainNumber(text, ref at, out var x) || text[at] != (byte)'Y')
        {
            return false;
        }

        at++;
        if (!TryPlainNumber(text, ref at, out var y) || text[at] != (byte)'D')
        {
            return false;
        }

        at += text[at + 1] == (byte)'0' ? 2 : 1;
        var operation = text[at] - '0';
        if (operation is < 1 or > 3 || text[at + 1] != (byte)'*')
        {
            return false;
        }

        _pos = start + at + 2;
        _lastOperation = operation;
        (_hasCenter, _wordI, _wordJ) = (false, 0, 0);
        if (operation == 1)
        {
            Draw(x, y, start);
        }
        else if (operation == 2)
        {
            Move(x, y, start);
        }
        else
        {
            Flash(x, y, start);
        }

        return true;
    }

    /// <summary>A sign and one to nine digits, read eight at a time: a loop over digits of varying number is often predicted wrongly.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static bool TryPlainNumber(ReadOnlySpan<byte> text, ref int at, out int value)
    {
        var isNegative = text[at] == (byte)'-';
        at += isNegative ? 1 : 0;
        var digits = BinaryPrimitives.ReadUInt64LittleEndian(text[at..]) ^ ('0' * EachByte);
        // Adding 118 sets the high bit of a byte above 9. Carries only reach later bytes, and the first such byte counts.
        var others = ((digits + (118 * EachByte)) | digits) & (128 * EachByte);
        var count = BitOperations.TrailingZeroCount(others) >> 3;
        if (count == 0)
        {
            value = 0;
            return false;
        }

        // Leading zeros fill up to eight digits; neighbours are joined to pairs, fours, and all eight.
        digits <<= 64 - (8 * count);
        digits = ((digits * 10) + (digits >> 8)) & 0x00FF00FF00FF00FF;
        digits = ((digits * 100) + (digits >> 16)) & 0x0000FFFF0000FFFF;
        var number = (int)((digits * 10000) + (digits >> 32));
        at += count;
        if (count == 8 && (uint)(text[at] - '0') <= 9)
        {
            number = (number * 10) + text[at++] - '0';
            if ((uint)(text[at] - '0') <= 9)
            {
                value = 0;
                return false;
            }
        }

        value = isNegative ? -number : number;
        return true;
    }
}
