using System.Runtime.InteropServices;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting.Heat;

/// <summary>What the heat does at one point of the film.</summary>
/// <param name="PeakRiseK">Highest rise over the temperature before the cut.</param>
/// <param name="PeakS">When, from the start of the sheet.</param>
/// <param name="ResidualRiseK">Rise left when the later of the two nearest paths begins; 0 when only one comes near.</param>
public readonly record struct HeatReading(double PeakRiseK, double PeakS, double ResidualRiseK)
{
    /// <summary>Highest temperature, degrees Celsius.</summary>
    public double PeakC => FilmConditions.RoomC + PeakRiseK;
}

/// <summary>The film's temperature while it is cut.</summary>
/// <remarks>
/// Every stretch of the beam's way is an instantaneous source that spreads in the sheet and is lost through its faces; the rises add
/// up: ΔT = q/(ρ c t) · exp(-r²/(4aτ) - τ/τ_loss)/(4πaτ) (Green's function of a sheet, Carslaw and Jaeger 1959, from memory),
/// along a straight stretch the integral with error functions. Stretches are halved until each is short against its age.
/// Cut edges are taken as film, which conducts: see docs/algorithms/heat.md.
/// </remarks>
public sealed class FilmHeat
{
    /// <summary>How long a stretch may be against its age before it is halved.</summary>
    internal const double Fineness = 0.5;

    // Reach: three times the distance that heat spreads before it is lost, and no more than this.
    private const double MostReachMm = 4;
    private const double LossTimes = 7;
    private const double Nothing = 16;
    private const int MostHalvings = 14;

    private readonly HeatPiece[] _pieces;
    private readonly HeatLump[] _lumps;
    private readonly LumpGrid _grid;
    private readonly Affine2 _toDrawn;
    private readonly double _fineness;
    private readonly double _spread;
    private readonly double _lossRate;
    private readonly double _perJoule;

    internal FilmHeat(HeatPiece[] pieces, FilmConditions conditions, Affine2 toDrawn, double fineness = Fineness, double? reachMm = null)
    {
        Conditions = conditions;
        (_pieces, _toDrawn, _fineness) = (pieces, toDrawn, fineness);
        _spread = 4 * conditions.Matter.DiffusivityMm2S;
        _lossRate = 1 / conditions.LossTimeS;
        _perJoule = 1 / conditions.SheetHeatPerMm2K;
        ReachMm = reachMm ?? Math.Min(MostReachMm, 3 * Math.Sqrt(_spread * conditions.LossTimeS));
        _lumps = HeatPieces.LumpsOf(pieces);
        _grid = new LumpGrid(_lumps, ReachMm);
    }

    /// <summary>What the figures rest on.</summary>
    public FilmConditions Conditions { get; }

    /// <summary>Stretches of the way further from a point than this are left out there.</summary>
    public double ReachMm { get; }

    /// <summary>The heat of a sheet's plan. Points are then given in the sheet's coordinates, as cut.</summary>
    /// <param name="film">The sheet, in its order of cutting.</param>
    /// <param name="settings">Laser, what lies under the film, the machine's motion and scale.</param>
    public static FilmHeat Of(SheetPlan film, JobSettings settings)
    {
        ArgumentNullException.ThrowIfNull(film);
        ArgumentNullException.ThrowIfNull(settings);
        var conditions = FilmConditions.Of(settings);
        return new FilmHeat(HeatPieces.Of(film, settings, conditions), conditions, SheetBuilder.CorrectionOf(settings));
    }

    /// <summary>Rise of temperature over that before the cut, in kelvin.</summary>
    /// <param name="at">A point of the sheet; in the middle of a cut the figure has no meaning.</param>
    /// <param name="timeS">Seconds from the start of the sheet.</param>
    public double RiseK(Point2 at, double timeS)
    {
        var near = new List<int>();
        at = _toDrawn.Apply(at);
        _grid.Gather(at, near);
        return Sum(near, at, timeS);
    }

    /// <summary>The highest temperature at a point, and what was left when the beam came back.</summary>
    /// <param name="at">A point of the sheet.</param>
    public HeatReading At(Point2 at) => new Probe(this).At(at);

    /// <summary>Peaks and residuals over a rectangle of the sheet, for a picture.</summary>
    /// <param name="area">What the map covers; more than covers it when its sides are no multiples of a cell.</param>
    /// <param name="cellMm">Side of a cell.</param>
    /// <param name="kerfMm">Width of the cut: cells whose middle is cut away have no figure.</param>
    /// <param name="cancellation">Stops the work.</param>
    public HeatMap Map(Bounds2 area, double cellMm, double kerfMm, CancellationToken cancellation = default)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(cellMm);
        var (columns, rows) = ((int)Math.Ceiling(area.Width / cellMm), (int)Math.Ceiling(area.Height / cellMm));
        var (peaks, residuals) = (new float[columns * rows], new float[columns * rows]);
        Parallel.For(0, rows, new ParallelOptions { CancellationToken = cancellation }, () => new Probe(this), ReadRow, static _ => { });
        return new HeatMap
        {
            Corner = new(area.MinX, area.MinY),
            CellMm = cellMm,
            Columns = columns,
            Rows = rows,
            PeakRiseK = ImmutableCollectionsMarshal.AsImmutableArray(peaks),
            ResidualRiseK = ImmutableCollectionsMarshal.AsImmutableArray(residuals),
        };

        Probe ReadRow(int row, ParallelLoopState state, Probe probe)
        {
            for (var i = row * columns; i < (row + 1) * columns; i++)
            {
                var reading = probe.At(new(area.MinX + (((i % columns) + 0.5) * cellMm), area.MinY + ((row + 0.5) * cellMm)));
                var isCut = probe.NearestMm < kerfMm / 2;
                (peaks[i], residuals[i]) = isCut ? (float.NaN, float.NaN) : ((float)reading.PeakRiseK, (float)reading.ResidualRiseK);
            }

            return probe;
        }
    }

    /// <summary>Reads many points without taking memory for each.</summary>
    internal sealed class Probe(FilmHeat heat)
    {
        // A pass counts as near within this many times the distance of the nearest.
        private const double NearShare = 2.2;
        private const int Refinements = 5;

        private readonly List<int> _near = [];

        /// <summary>How near the beam's middle came to the point read last.</summary>
        public double NearestMm { get; private set; }

        /// <summary>How near the beam's middle came on the next nearest path; infinite when there was none near.</summary>
        public double NextMm { get; private set; }

        private readonly List<(int Path, double DistanceMm, double PassS)> _passes = [];

        public HeatReading At(Point2 point)
        {
            var at = heat._toDrawn.Apply(point);
            heat._grid.Gather(at, _near);
            if (!FindPasses(at))
            {
                NextMm = double.PositiveInfinity;
                return default;
            }

            var (best, when, width) = (0.0, 0.0, 0.0);
            foreach (var (_, distance, pass) in _passes)
            {
                var delay = MovingSource.ThinPeakTimeS(heat.Conditions.Matter, Math.Max(distance, 1e-3), heat.Conditions.LossTimeS);
                var rise = heat.Sum(_near, at, pass + delay);
                if (rise > best)
                {
                    (best, when, width) = (rise, pass + delay, delay);
                }
            }

            (best, when) = Refine(at, best, when, width);
            var second = SecondPath();
            return new HeatReading(best, when, second < 0 ? 0 : heat.Sum(_near, at, heat.StartOf(second, _near)));
        }

        // The later of the two paths that come nearest; -1 when only one comes near. Passes are in the order of time.
        private int SecondPath()
        {
            var (nearest, next) = (-1, -1);
            for (var i = 0; i < _passes.Count; i++)
            {
                if (nearest < 0 || _passes[i].DistanceMm < _passes[nearest].DistanceMm)
                {
                    (nearest, next) = (i, nearest);
                }
                else if (next < 0 || _passes[i].DistanceMm < _passes[next].DistanceMm)
                {
                    next = i;
                }
            }

            NextMm = next < 0 ? double.PositiveInfinity : _passes[next].DistanceMm;
            return next < 0 ? -1 : _passes[Math.Max(nearest, next)].Path;
        }

        // The top lies near the pass that was warmest: ever shorter steps to either side.
        private (double Rise, double When) Refine(Point2 at, double best, double when, double width)
        {
            var step = width / 2;
            for (var i = 0; i < Refinements; i++)
            {
                if (heat.Sum(_near, at, when + step) is var later && later > best)
                {
                    (best, when) = (later, when + step);
                }
                else if (heat.Sum(_near, at, when - step) is var earlier && earlier > best)
                {
                    (best, when) = (earlier, when - step);
                }
                else
                {
                    step /= 2.5;
                }
            }

            return (best, when);
        }

        // One pass for each path: where it comes nearest.
        private bool FindPasses(Point2 at)
        {
            _passes.Clear();
            var least = double.PositiveInfinity;
            NearestMm = least;
            foreach (var l in _near)
            {
                ref readonly var lump = ref heat._lumps[l];
                if (Point2.Distance(lump.Middle, at) - lump.RadiusMm > NearShare * least)
                {
                    continue;
                }

                for (var i = lump.First; i < lump.First + lump.Count; i++)
                {
                    ref readonly var piece = ref heat._pieces[i];
                    if (piece.HeatW <= 0)
                    {
                        continue;
                    }

                    var (distance, share) = Foot(piece, at);
                    least = Math.Min(least, distance);
                    var pass = piece.StartS + (share * (piece.EndS - piece.StartS));
                    if (_passes.Count > 0 && _passes[^1].Path == piece.Path)
                    {
                        if (distance < _passes[^1].DistanceMm)
                        {
                            _passes[^1] = (piece.Path, distance, pass);
                        }
                    }
                    else
                    {
                        _passes.Add((piece.Path, distance, pass));
                    }
                }
            }

            NearestMm = least;
            _passes.RemoveAll(p => p.DistanceMm > NearShare * least);
            return _passes.Count > 0;
        }

        private static (double DistanceMm, double Share) Foot(in HeatPiece piece, Point2 at)
        {
            var along = piece.To - piece.From;
            var square = Vector2.Dot(along, along);
            var share = square > 0 ? Math.Clamp(Vector2.Dot(at - piece.From, along) / square, 0, 1) : 0;
            return (Point2.Distance(Point2.Lerp(piece.From, piece.To, share), at), share);
        }
    }

    // Lumps are gathered in the order of time.
    private double StartOf(int path, List<int> near)
    {
        foreach (var l in near)
        {
            if (_pieces[_lumps[l].First].Path == path)
            {
                return _lumps[l].StartS;
            }
        }

        return 0;
    }

    private double Sum(List<int> near, Point2 at, double timeS)
    {
        var sum = 0.0;
        foreach (var l in near)
        {
            ref readonly var lump = ref _lumps[l];
            if (lump.StartS >= timeS)
            {
                break;
            }

            var lost = (timeS - lump.EndS) * _lossRate;
            if (lost > LossTimes)
            {
                continue;
            }

            var (dx, dy) = (lump.Middle.X - at.X, lump.Middle.Y - at.Y);
            var square = (dx * dx) + (dy * dy);
            var clear = Math.Sqrt(square) - lump.RadiusMm;
            if (clear > 0 && clear * clear > Nothing * _spread * (timeS - lump.StartS))
            {
                continue;
            }

            var age = timeS - lump.MiddleS;
            if (lump.EndS < timeS && lump.EndS - lump.StartS < _fineness * age && lump.RadiusMm * lump.RadiusMm < 2 * _fineness * _spread * age)
            {
                sum += lump.HeatJ / (Math.PI * _spread * age) * Math.Exp((-square / (_spread * age)) - (age * _lossRate));
                continue;
            }

            for (var i = lump.First; i < lump.First + lump.Count && _pieces[i].StartS < timeS; i++)
            {
                sum += OfPiece(_pieces[i], at, timeS);
            }
        }

        return sum * _perJoule;
    }

    private double OfPiece(in HeatPiece piece, Point2 at, double timeS)
    {
        var along = piece.To - piece.From;
        var length = along.Length;
        var toPoint = at - piece.From;
        var foot = length > 0 ? Vector2.Dot(toPoint, along) / length : 0;
        var side = length > 0 ? Vector2.Cross(along, toPoint) / length : toPoint.Length;
        var speed = length / (piece.EndS - piece.StartS);
        return piece.HeatW * Part(foot, side * side, speed, piece.StartS, Math.Min(piece.EndS, timeS) - piece.StartS, piece.StartS, timeS, MostHalvings);
    }

    // Joules a millimetre per watt, from one part of a piece: from where the beam is at `from` and for `duration`.
    private double Part(double foot, double sideSquare, double speed, double from, double duration, double pieceStart, double timeS, int halvings)
    {
        var oldest = timeS - from;
        var (s0, s1) = ((from - pieceStart) * speed, (from + duration - pieceStart) * speed);
        var outside = Math.Max(0, Math.Max(s0 - foot, foot - s1));
        if (sideSquare + (outside * outside) > Nothing * _spread * oldest || duration <= 0)
        {
            return 0;
        }

        var age = oldest - (duration / 2);
        if (duration > _fineness * age && halvings > 0)
        {
            var half = duration / 2;
            return Part(foot, sideSquare, speed, from, half, pieceStart, timeS, halvings - 1)
                + Part(foot, sideSquare, speed, from + half, half, pieceStart, timeS, halvings - 1);
        }

        var spread = _spread * age;
        var length = s1 - s0;
        if (length * length < 0.2 * _fineness * spread)
        {
            var off = foot - ((s0 + s1) / 2);
            return duration / (Math.PI * spread) * Math.Exp((-(sideSquare + (off * off)) / spread) - (age * _lossRate));
        }

        var root = Math.Sqrt(spread);
        var (u0, u1) = ((s0 - foot) / root, (s1 - foot) / root);
        var (e0, e1) = (Math.Exp(-u0 * u0), Math.Exp(-u1 * u1));
        var share = Special.Erf(u1, e1) - Special.Erf(u0, e0);
        if (share < 1e-9)
        {
            return 0;
        }

        // What counts is the age of the heat that reaches the point: that of the weighted mean of the places it comes from.
        var mean = foot + (root * (e0 - e1) / (share * Math.Sqrt(Math.PI)));
        age = timeS - pieceStart - (Math.Clamp(mean, s0, s1) / speed);
        spread = _spread * age;
        return share / (2 * speed) * Math.Exp((-sideSquare / spread) - (age * _lossRate)) / Math.Sqrt(Math.PI * spread);
    }
}
