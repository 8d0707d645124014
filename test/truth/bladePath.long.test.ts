import { describe, expect, test } from 'vitest';
import type { DemoTake } from '../../scripts/simulate/demo/demoTakes.ts';
import type { SimulatedTake } from '../../scripts/simulate/take.ts';
import { rotateByQuat } from '../../server/engine/base/quat.ts';
import { buildTimeBase } from '../../server/engine/base/timeBase.ts';
import { DEG_PER_RAD } from '../../server/engine/base/units.ts';
import { findClipping } from '../../server/engine/check/clipping.ts';
import { type BladePath, computeBladePath, tipAt } from '../../server/engine/motion/bladePath.ts';
import { computeMotion, type Motion } from '../../server/engine/motion/motion.ts';
import { demoTake, see } from './simulated.ts';

/** Degrees between a take's tip directions and those of the simulation, once one turn about the vertical is taken off. */
interface Error {
  readonly timeUs: Float64Array;
  readonly deg: Float64Array;
}

/**
 * A sensor's own low-pass delays what it tells: second order, so by √2 / (2π corner). `delayMs` takes that off; 0 compares
 * with what was true when the row was taken.
 */
function errorsOf(
  path: BladePath,
  motion: Motion,
  take: SimulatedTake,
  counts: (timeUs: number) => boolean = () => true,
  delayMs = 0,
): Error[] {
  return motion.segments.map(({ start, end }) => {
    const pairs = [];
    for (let i = start; i < end; ++i) {
      if (!counts(motion.timeUs[i]!)) continue;
      pairs.push({
        us: motion.timeUs[i]!,
        seen: tipAt(path, i),
        was: trueTip(take, motion.timeUs[i]!, delayMs),
      });
    }
    let [cos, sin] = [0, 0];
    for (const { seen, was } of pairs) {
      cos += seen[0]! * was[0]! + seen[1]! * was[1]!;
      sin += seen[0]! * was[1]! - seen[1]! * was[0]!;
    }
    const heading = Math.atan2(sin, cos);
    const deg = pairs.map(({ seen, was }) => {
      const x = Math.cos(heading) * seen[0]! - Math.sin(heading) * seen[1]!;
      const y = Math.sin(heading) * seen[0]! + Math.cos(heading) * seen[1]!;
      const chord = Math.hypot(x - was[0]!, y - was[1]!, seen[2]! - was[2]!);
      return 2 * Math.asin(Math.min(1, chord / 2)) * DEG_PER_RAD;
    });
    return { timeUs: Float64Array.from(pairs, ({ us }) => us), deg: Float64Array.from(deg) };
  });
}

/** The simulation's own direction of the tip at a moment of the log's clock. */
function trueTip({ fine, log, trueS }: SimulatedTake, tUs: number, delayMs: number): Float64Array {
  let [low, high] = [0, log.timeUs.length - 1];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (log.timeUs[middle]! <= tUs) low = middle;
    else high = middle;
  }
  const part = (tUs - log.timeUs[low]!) / (log.timeUs[high]! - log.timeUs[low]!);
  const atS = trueS[low]! + part * (trueS[high]! - trueS[low]!) - delayMs / 1000;
  const k = Math.min(fine.length - 1, Math.max(0, Math.round(atS * fine.hz)));
  return rotateByQuat(Float64Array.of(fine.q.w[k]!, fine.q.x[k]!, fine.q.y[k]!, fine.q.z[k]!), 1, 0, 0);
}

function seenPath(name: DemoTake['name']): { take: SimulatedTake; motion: Motion; path: BladePath } {
  const take = demoTake(name);
  const { motion, calibration } = see(take);
  return { take, motion, path: computeBladePath(motion, calibration.leverArmM) };
}

function most(errors: readonly Error[]): number {
  return Math.max(...errors.flatMap(({ deg }) => [...deg]));
}

describe('where the tip points, against the simulation', () => {
  test.each([
    ['spinner-slow-figure-eight', 56],
    ['spinner-wall-plane', 51],
    ['spinner-full-routine', 75],
    ['duellist-parry-drill', 45],
    ['duellist-thrust-line', 44],
  ] as const)('%s: within 3 degrees at every sample of every stretch between gaps', (name, leastS) => {
    const { take, motion, path } = seenPath(name);
    const errors = errorsOf(path, motion, take);
    expect(errors.reduce((sum, { deg }) => sum + deg.length, 0) / motion.rateHz).toBeGreaterThan(leastS);
    expect(most(errors)).toBeLessThan(3);
    expect(path.unsure).toEqual([]);
  });

  test.each(['duellist-twist-dial', 'beginner-first-lesson'] as const)(
    '%s: within 3 degrees of where it was when the sensor, whose own filter of 42 Hz is 5.4 ms late, felt it',
    (name) => {
      const { take, motion, path } = seenPath(name);
      expect(
        most(errorsOf(path, motion, take, () => true, 1000 * (Math.SQRT2 / (2 * Math.PI * 42)))),
      ).toBeLessThan(3);
      // In a swing of 500 °/s the blade is 2.7° further on by then.
      expect(most(errorsOf(path, motion, take))).toBeLessThan(4.5);
    },
  );

  test('where the rates were clipped the path says so; elsewhere it is within 3 degrees', () => {
    const take = demoTake('spinner-fast-figure-eight');
    const { calibration } = see(take);
    const clipped = new Uint8Array(take.log.timeUs.length);
    for (const { runs } of findClipping(take.log))
      for (const { start, end } of runs) clipped.fill(1, start, end);
    const motion = computeMotion(buildTimeBase(take.log, clipped).uniform, calibration);
    const path = computeBladePath(motion, calibration.leverArmM);
    expect(path.unsure.length).toBeGreaterThan(0);
    const isUnsure = (us: number) => path.unsure.some(({ startUs, endUs }) => startUs <= us && us <= endUs);
    expect(most(errorsOf(path, motion, take, isUnsure))).toBeGreaterThan(10);
    // What was turned while the rates were clipped is lost for the heading: each stretch has one of its own.
    const borders = [
      0,
      ...path.unsure.flatMap(({ startUs, endUs }) => [startUs, endUs]),
      motion.timeUs.at(-1)!,
    ];
    let looked = 0;
    for (let k = 0; k < borders.length; k += 2) {
      const [fromUs, toUs] = [borders[k]!, borders[k + 1]!];
      const errors = errorsOf(path, motion, take, (us) => fromUs <= us && us <= toUs && !isUnsure(us));
      looked += errors[0]!.deg.length;
      expect(most(errors)).toBeLessThan(3);
    }
    expect(looked / motion.rateHz).toBeGreaterThan(10);
  });

  test.each([
    ['spinner-slow-figure-eight', 11.1e6],
    ['spinner-wall-plane', 22.6e6],
    ['spinner-full-routine', 29.9e6],
  ] as const)(
    '%s: behind a gap in mid-spin it is within 4 degrees from the first sample on',
    (name, atUs) => {
      const take = demoTake(name);
      const { calibration } = see(take);
      const keep = [...take.log.timeUs.keys()].filter((i) => Math.abs(take.log.timeUs[i]! - atUs) > 100_000);
      const log = Object.fromEntries(
        Object.entries(take.log).map(([column, values]) => [
          column,
          Float64Array.from(keep, (i) => values[i]!),
        ]),
      ) as unknown as typeof take.log;
      const motion = computeMotion(buildTimeBase(log).uniform, calibration);
      const path = computeBladePath(motion, calibration.leverArmM);
      const behind = motion.segments.findIndex(({ start }) => motion.timeUs[start]! > atUs);
      const error = errorsOf(path, motion, take)[behind]!;
      expect(error.timeUs[0]! - atUs).toBeLessThan(120_000);
      expect(most([error])).toBeLessThan(4);
    },
  );
});
