import type { UniformLog } from '../../server/engine/base/log.ts';
import { STANDARD_GRAVITY_MPS2 } from '../../server/engine/base/units.ts';
import { IDENTITY, matrixOfVector, times, type Vector } from './rotation.ts';

interface Bin {
  readonly rate: Vector;
  readonly force: Vector;
}

/** Means of ten milliseconds, of all segments in which two stretches of two seconds have room, in a row. */
function binsOf(log: UniformLog, size: number): Bin[] {
  const meanAt = (values: Float64Array, from: number) =>
    values.subarray(from, from + size).reduce((sum, value) => sum + value, 0) / size;
  const gyro = [log.gyroXDps, log.gyroYDps, log.gyroZDps];
  const accel = [log.accelXG, log.accelYG, log.accelZG];
  const perStretch = Math.round((2 * log.rateHz) / size);
  return log.segments
    .filter(({ start, end }) => end - start >= 2 * perStretch * size)
    .flatMap(({ start, end }) =>
      Array.from({ length: Math.floor((end - start) / size) }, (_, b) => ({
        rate: gyro.map((v) => (meanAt(v, start + b * size) * Math.PI) / 180) as unknown as Vector,
        force: accel.map((v) => meanAt(v, start + b * size)) as unknown as Vector,
      })),
    );
}

/**
 * What `StretchPairs.propagated` says it gives, pair by pair and bin by bin, turned by matrices.
 * @param starts  first bin of each pair
 */
export function stretchMeans(
  log: UniformLog,
  starts: readonly number[],
  factors: Vector,
  offsets: Vector,
  delayS: number,
): number[] {
  const size = Math.max(1, Math.round(0.01 * log.rateHz));
  const stepS = size / log.rateHz;
  const length = Math.round(2 / stepS);
  const bins = binsOf(log, size);
  const forceOf = (bin: number): Vector => {
    const [before, after] = [Math.max(0, bin - 1), Math.min(bins.length - 1, bin + 1)];
    const [from, to] = [bins[before]!.force, bins[after]!.force];
    const slope = (k: number) => (to[k]! - from[k]!) / ((after - before) * stepS);
    return bins[bin]!.force.map((own, k) => own + delayS * slope(k)) as unknown as Vector;
  };
  return starts.flatMap((start) => {
    let turn = IDENTITY;
    return [0, 1].flatMap((half) => {
      const [forced, turned, armed] = [new Array(27).fill(0), new Array(9).fill(0), new Array(9).fill(0)];
      for (let b = 0; b < length; ++b) {
        const bin = start + half * length + b;
        const w = bins[bin]!.rate.map((rate, k) => factors[k]! * rate - offsets[k]!) as unknown as Vector;
        const halfTurn = matrixOfVector(w.map((rate) => (rate * stepS) / 2) as unknown as Vector);
        const middle = times(turn, halfTurn);
        turn = times(middle, halfTurn);
        const phase = (2 * Math.PI * (b + 0.5)) / length;
        const weight = (1 - Math.cos(phase)) / length;
        const slope = ((2 * Math.PI) / (length * stepS)) * Math.sin(phase) * (1 / length);
        const cross = [
          [0, -w[2], w[1]],
          [w[2], 0, -w[0]],
          [-w[1], w[0], 0],
        ] as unknown as typeof turn;
        const arm = times(middle, cross);
        const force = forceOf(bin);
        for (let r = 0; r < 3; ++r)
          for (let c = 0; c < 3; ++c) {
            for (let k = 0; k < 3; ++k) forced[9 * r + 3 * c + k] += weight * middle[r]![c]! * force[k]!;
            turned[3 * r + c] += weight * middle[r]![c]!;
            armed[3 * r + c] -= (slope * arm[r]![c]!) / STANDARD_GRAVITY_MPS2;
          }
      }
      return [...forced, ...turned, ...armed] as number[];
    });
  });
}
