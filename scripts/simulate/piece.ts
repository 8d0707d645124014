/**
 * A stretch of one path. While it lasts it adds to value, rate and acceleration; afterwards its value stays and
 * nothing moves. Times in seconds; the value's unit is the path's own.
 */
export interface Piece {
  readonly startS: number;
  readonly endS: number;
  /** What stays added once the piece is over. */
  readonly after: number;
  /** Adds [value, rate, acceleration] at `tS`, for `startS <= tS <= endS`. */
  add(tS: number, out: Float64Array): void;
}

/**
 * From rest to rest by the path of least jerk.
 * Source: Flash and Hogan, J. Neurosci. 5(7), 1985, 1688-1703: D(10u^3 - 15u^4 + 6u^5), peak rate 1.875 D/T.
 */
export function minimumJerk(startS: number, durationS: number, delta: number): Piece {
  return {
    startS,
    endS: startS + durationS,
    after: delta,
    add(tS, out) {
      const u = (tS - startS) / durationS;
      out[0]! += delta * u * u * u * (10 - 15 * u + 6 * u * u);
      out[1]! += (delta / durationS) * 30 * u * u * (1 - u) * (1 - u);
      out[2]! += (delta / (durationS * durationS)) * 60 * u * (1 - u) * (1 - 2 * u);
    },
  };
}

/** A steady rate with smooth ramps at both ends: turns by `rate * (durationS - rampS)` in all. */
export function cruise(startS: number, durationS: number, rate: number, rampS: number): Piece {
  if (!(rampS > 0 && rampS * 2 <= durationS)) throw new RangeError('the two ramps must fit into the piece');
  const after = rate * (durationS - rampS);
  return {
    startS,
    endS: startS + durationS,
    after,
    add(tS, out) {
      const fromEnd = startS + durationS - tS;
      const rampingDown = fromEnd < rampS;
      const u = Math.min(rampingDown ? fromEnd : tS - startS, rampS) / rampS;
      const steadyS = rampingDown ? 0 : Math.max(0, tS - startS - rampS);
      const turned = rate * (rampS * u * u * u * (1 - u / 2) + steadyS);
      out[0]! += rampingDown ? after - turned : turned;
      out[1]! += rate * u * u * (3 - 2 * u);
      out[2]! += ((rampingDown ? -6 : 6) * rate * u * (1 - u)) / rampS;
    },
  };
}

interface WaveShape {
  readonly amplitude: number;
  readonly hz: number;
  readonly phaseRad?: number;
  /** The wave runs at this multiple of the phase that its sisters share. */
  readonly harmonic?: number;
  /** Slow wandering of the phase, so that no two turns take equally long. */
  readonly wobbleRad?: number;
  readonly wobbleHz?: number;
}

/** A sine that swells from nothing and dies away within `rampS`, twice differentiable throughout. */
export function wave(startS: number, durationS: number, rampS: number, shape: WaveShape): Piece {
  if (!(rampS > 0 && rampS * 2 <= durationS)) throw new RangeError('the two ramps must fit into the piece');
  const harmonic = shape.harmonic ?? 1;
  const w = 2 * Math.PI * shape.hz;
  const wobbleW = 2 * Math.PI * (shape.wobbleHz ?? 0);
  const wobble = shape.wobbleRad ?? 0;
  const envelope = new Float64Array(3);
  return {
    startS,
    endS: startS + durationS,
    after: 0,
    add(tS, out) {
      const s = tS - startS;
      if (wobble === 0 && s >= rampS && durationS - s >= rampS) {
        addSteady(out, harmonic * (w * s) + (shape.phaseRad ?? 0), harmonic * w, shape.amplitude);
        return;
      }
      swell(s, durationS, rampS, envelope);
      const wander = wobble === 0 ? 0 : wobble * Math.sin(wobbleW * s);
      const wanderRate = wobble === 0 ? 0 : wobble * wobbleW * Math.cos(wobbleW * s);
      const phase = harmonic * (w * s + wander) + (shape.phaseRad ?? 0);
      const phaseRate = harmonic * (w + wanderRate);
      const phaseAccel = -harmonic * wobbleW * wobbleW * wander;
      const sin = shape.amplitude * Math.sin(phase);
      const cos = shape.amplitude * Math.cos(phase);
      const [e, e1, e2] = [envelope[0]!, envelope[1]!, envelope[2]!];
      out[0]! += e * sin;
      out[1]! += e1 * sin + e * phaseRate * cos;
      out[2]! += e2 * sin + 2 * e1 * phaseRate * cos + e * (phaseAccel * cos - phaseRate * phaseRate * sin);
    },
  };
}

/** A wave at its full size, as most are nearly always: the same to the last bit, in half the time. */
function addSteady(out: Float64Array, phase: number, phaseRate: number, amplitude: number): void {
  const sin = amplitude * Math.sin(phase);
  out[0]! += sin;
  out[1]! += phaseRate * (amplitude * Math.cos(phase));
  out[2]! -= phaseRate * phaseRate * sin;
}

/** The envelope of a wave: [value, rate, acceleration] of a rise from 0 to 1 and a fall back. */
function swell(s: number, durationS: number, rampS: number, out: Float64Array): void {
  const fromEnd = durationS - s;
  const falling = fromEnd < rampS;
  const u = Math.min(falling ? fromEnd : s, rampS) / rampS;
  out[0] = u * u * u * (10 - 15 * u + 6 * u * u);
  out[1] = ((falling ? -30 : 30) * u * u * (1 - u) * (1 - u)) / rampS;
  out[2] = (60 * u * (1 - u) * (1 - 2 * u)) / (rampS * rampS);
}

/** The same piece, `factor` times as large. */
export function scaled(piece: Piece, factor: number): Piece {
  const own = new Float64Array(3);
  return {
    startS: piece.startS,
    endS: piece.endS,
    after: piece.after * factor,
    add(tS, out) {
      own.fill(0);
      piece.add(tS, own);
      for (let k = 0; k < 3; ++k) out[k]! += own[k]! * factor;
    },
  };
}
