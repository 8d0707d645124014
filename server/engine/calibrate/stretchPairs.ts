import type { Segment } from '../base/log.ts';
import { identityQuat, multiplyQuat, normaliseQuat, quatFromVectorRad } from '../base/quat.ts';
import { STANDARD_GRAVITY_MPS2 } from '../base/units.ts';
import { choosePairs, type TurnSums } from './pairChoice.ts';
import {
  type AllBins,
  type BinnedLog,
  changesOf,
  fillBins,
  gathered,
  inARow,
  moveOf,
  spansOf,
  sumsOf,
  turnOf,
} from './stretchBins.ts';
import { STRETCH_SUMS, type StretchWeights, sumStretch, turnSums } from './stretchSums.ts';

/**
 * Two neighbouring stretches of this length, each weighted by a raised cosine, in one frame that the rates propagate.
 */
const STRETCH_S = 2;
const BIN_S = 0.01;
/** With fewer bins, at a rate below 4 Hz, a stretch does not show the motion within it. */
const FEWEST_BINS = 8;
export type Vec3 = readonly [number, number, number];

/**
 * Rates and forces of a log in bins, grouped to pairs of stretches. In the frame of the right rates, the mean force of
 * both is gravity: 1 g, and the same. With raised cosine weights a sensor that swings to and fro adds little to the
 * mean; with even weights its change of speed would remain.
 */
export class StretchPairs {
  readonly count: number;
  /** How many pairs a moment belongs to, on average. */
  readonly overlap: number;
  /** Degrees turned about each axis, there and back added up. */
  readonly spunDeg: Vec3;
  /** Degrees by which those turns tilted gravity; turns about gravity itself do not count. */
  readonly turnedDeg: Vec3;
  readonly perStretch: number;
  /** First bin of each pair, of all that the log has. */
  readonly starts: readonly number[];
  private readonly stepS: number;
  private readonly weights: StretchWeights;
  /** Bins that belong to a pair, in runs of them: rates in rad/s, forces in g and their change in g/s, three numbers each. */
  private readonly rates: Float64Array;
  private readonly forces: Float64Array;
  private readonly changes: Float64Array;
  private readonly runs: readonly Segment[];
  /** First bin of each pair, of these; and of each stretch, of which neighbouring pairs share some. */
  private readonly firstBins: readonly number[];
  private readonly stretches: readonly number[];
  /** For each pair the places of its two stretches among them. */
  private readonly stretchesOf: readonly (readonly [number, number])[];
  /** What `turned` writes, anew each time. */
  private readonly scratch: {
    readonly turns: Float64Array;
    readonly rates: Float64Array;
    readonly frames: Float64Array;
  };

  constructor(log: BinnedLog) {
    const size = Math.max(1, Math.round(BIN_S * log.rateHz));
    this.stepS = size / log.rateHz;
    const perStretch = Math.round(STRETCH_S / this.stepS);
    this.perStretch = perStretch;
    this.weights = weightsOf(perStretch, this.stepS);
    const isFine = perStretch >= FEWEST_BINS;
    const long = log.segments.filter(({ start, end }) => isFine && end - start >= 2 * perStretch * size);
    const bins = long.reduce((sum, { start, end }) => sum + Math.floor((end - start) / size), 0);
    const all: AllBins = { rates: new Float64Array(3 * bins), forces: new Float64Array(3 * bins) };
    const parts = fillBins(all, log, long, size);
    const [spun, turned] = [sumsOf(all, this.stepS, turnOf), sumsOf(all, this.stepS, moveOf)];
    this.spunDeg = totalOf(spun, bins);
    this.turnedDeg = totalOf(turned, bins);
    this.starts = choosePairs(parts, perStretch, turned);
    this.count = this.starts.length;
    this.overlap = overlapOf(this.starts, 2 * perStretch);
    const spans = spansOf(this.starts, 2 * perStretch);
    this.rates = gathered(all.rates, spans);
    this.forces = gathered(all.forces, spans);
    this.changes = gathered(changesOf(all.forces, this.stepS), spans);
    this.runs = inARow(spans);
    this.firstBins = this.starts.map((start) => {
      const span = spans.findIndex((own) => start < own.end);
      return this.runs[span]!.start + start - spans[span]!.start;
    });
    this.stretches = [...new Set(this.firstBins.flatMap((bin) => [bin, bin + perStretch]))];
    const placeOf = new Map(this.stretches.map((bin, place) => [bin, place]));
    this.stretchesOf = this.firstBins.map((bin) => [placeOf.get(bin)!, placeOf.get(bin + perStretch)!]);
    this.scratch = {
      turns: new Float64Array(3 * this.rates.length),
      rates: new Float64Array(this.rates.length),
      frames: new Float64Array(9 * this.count),
    };
  }

  /** The largest angle, over all pairs, by which the rates as logged tilt the direction of a pair's first force. */
  mostTiltRad(): number {
    const { perStretch, stepS, rates, forces } = this;
    const q = identityQuat();
    const turn = identityQuat();
    const m = new Float64Array(9);
    let least = 1;
    for (const start of this.firstBins) {
      q.set([1, 0, 0, 0]);
      const [x, y, z] = [forces[3 * start]!, forces[3 * start + 1]!, forces[3 * start + 2]!];
      const square = x * x + y * y + z * z || 1;
      for (let bin = 3 * start; bin < 3 * (start + 2 * perStretch); bin += 3) {
        quatFromVectorRad(stepS * rates[bin]!, stepS * rates[bin + 1]!, stepS * rates[bin + 2]!, turn);
        normaliseQuat(multiplyQuat(q, turn, q));
        rotationMatrix(q, m);
        const dot =
          x * (m[0]! * x + m[1]! * y + m[2]! * z) +
          y * (m[3]! * x + m[4]! * y + m[5]! * z) +
          z * (m[6]! * x + m[7]! * y + m[8]! * z);
        least = Math.min(least, dot / square);
      }
    }
    return Math.acos(Math.max(-1, Math.min(1, least)));
  }

  /**
   * For each stretch, with every rate multiplied by its axis's factor, 45 weighted means: R_rc f_k at 9 r + 3 c + k, so
   * that any exchange of the force's axes is a sum over them; then R_rc itself, for a bias that turns with the body;
   * then component r of the force of a metre of lever arm along axis c, in g. R begins with each pair.
   *
   * Pairs lie over one another, four deep where all of a take is in them: a run of bins is turned through once, each
   * stretch summed once in the frame that its run begins in, and the sums turned into the frame of each pair.
   * @param offsets  taken off the rates, rad/s
   * @param delayS  by how much the force comes later, to first order
   */
  propagated(factors: Vec3, offsets: Vec3 = NONE, delayS = 0): Float64Array {
    const { count, weights, stretches, stretchesOf } = this;
    const { turns, rates, frames } = this.turned(factors, offsets);
    const forces = delayS === 0 ? this.forces : this.delayed(delayS);
    const sums = new Float64Array(STRETCH_SUMS * stretches.length);
    for (const [place, first] of stretches.entries())
      sumStretch({ turns, rates, forces }, first, weights, sums, STRETCH_SUMS * place);
    const out = new Float64Array(2 * STRETCH_SUMS * count);
    for (const [pair, places] of stretchesOf.entries())
      for (const [half, place] of places.entries())
        turnSums(frames, 9 * pair, sums, STRETCH_SUMS * place, out, STRETCH_SUMS * (2 * pair + half));
    return out;
  }

  private delayed(byS: number): Float64Array {
    const out = new Float64Array(this.forces.length);
    for (let k = 0; k < out.length; ++k) out[k] = this.forces[k]! + byS * this.changes[k]!;
    return out;
  }

  /** R at the middle of each bin, to which its force belongs, the rates that it is made of, and R where each pair begins. */
  private turned([fx, fy, fz]: Vec3, [ox, oy, oz]: Vec3) {
    const { rates: logged, stepS, firstBins } = this;
    const { rates, turns, frames } = this.scratch;
    const q = identityQuat();
    const half = identityQuat();
    const k = stepS / 2;
    let pair = 0;
    for (const { start, end } of this.runs) {
      q.set([1, 0, 0, 0]);
      for (let bin = start; bin < end; ++bin) {
        if (bin === firstBins[pair]) rotationMatrix(q, frames, 9 * pair++);
        const at = 3 * bin;
        const wx = fx * logged[at]! - ox;
        const wy = fy * logged[at + 1]! - oy;
        const wz = fz * logged[at + 2]! - oz;
        rates[at] = wx;
        rates[at + 1] = wy;
        rates[at + 2] = wz;
        quatFromVectorRad(k * wx, k * wy, k * wz, half);
        multiplyQuat(q, half, q);
        rotationMatrix(q, turns, 3 * at);
        normaliseQuat(multiplyQuat(q, half, q));
      }
    }
    return this.scratch;
  }
}

const NONE: Vec3 = [0, 0, 0];

function totalOf(sums: TurnSums, bins: number): Vec3 {
  return [sums[0]![bins]!, sums[1]![bins]!, sums[2]![bins]!];
}

function overlapOf(starts: readonly number[], length: number): number {
  let [covered, end] = [0, 0];
  for (const start of starts) {
    covered += start + length - Math.max(start, end);
    end = start + length;
  }
  return covered > 0 ? (starts.length * length) / covered : 1;
}

/** To nine numbers of `out`, row by row. */
function rotationMatrix(q: Float64Array, out: Float64Array, to = 0): void {
  const w = q[0]!;
  const x = q[1]!;
  const y = q[2]!;
  const z = q[3]!;
  out[to] = 1 - 2 * (y * y + z * z);
  out[to + 1] = 2 * (x * y - w * z);
  out[to + 2] = 2 * (x * z + w * y);
  out[to + 3] = 2 * (x * y + w * z);
  out[to + 4] = 1 - 2 * (x * x + z * z);
  out[to + 5] = 2 * (y * z - w * x);
  out[to + 6] = 2 * (x * z - w * y);
  out[to + 7] = 2 * (y * z + w * x);
  out[to + 8] = 1 - 2 * (x * x + y * y);
}

function weightsOf(perStretch: number, stepS: number): StretchWeights {
  const phaseAt = (b: number): number => (2 * Math.PI * (b + 0.5)) / perStretch;
  const armScale = (-2 * Math.PI) / (perStretch * perStretch * stepS * STANDARD_GRAVITY_MPS2);
  return {
    mean: Float64Array.from({ length: perStretch }, (_, b) => (1 - Math.cos(phaseAt(b))) / perStretch),
    arm: Float64Array.from({ length: perStretch }, (_, b) => armScale * Math.sin(phaseAt(b))),
  };
}
