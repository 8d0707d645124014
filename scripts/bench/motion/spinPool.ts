import { motionGrid } from '../../../server/engine/choose/motion/motionProblem.ts';
import { type GuardGrid, sweepTake } from '../../../server/engine/choose/takeSweep.ts';
import type { SpanLabel } from '../../../server/engine/labels/labels.ts';
import type { SpeedSignals } from '../../../server/engine/motion/signals.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { seededRandom } from '../../simulate/random.ts';
import { speedSignals } from '../sweeps.ts';

const RATE_HZ = 100;
const BEFORE_S = 0.5;
const AFTER_S = 1.5;

/** A coarse map, so that thousands of choices on it cost little. */
const AXES = {
  xs: Array.from({ length: 13 }, (_, i) => 90 + 40 * i),
  ys: Array.from({ length: 16 }, (_, i) => 25 * i),
};

/** To and fro with a moment's rest at each turn, eights that never stop, and loops that turn round now and then. */
export const SPIN_KINDS = ['toAndFro', 'eight', 'loops'] as const;
type SpinKind = (typeof SPIN_KINDS)[number];

type Between = (low: number, high: number) => number;

/**
 * Maps by motion of takes of one spin and its stop each: a population to draw from. The spins differ by chance in speed,
 * duration and how the blade lingers; after some stops it is not still at once.
 */
export function spinPool(kind: SpinKind, count: number, seed: number): GuardGrid[] {
  const random = seededRandom(seed);
  const between: Between = (low, high) => low + (high - low) * random();
  return Array.from({ length: count }, () => mapOf(SPINS[kind](between), between));
}

const SPINS: Readonly<Record<SpinKind, (between: Between) => number[]>> = {
  toAndFro(between) {
    const [peak, lingerS] = [between(260, 800), between(0, 0.12)];
    return Array.from({ length: 6 }, () => [
      ...swing(peak * between(0.85, 1.15), between(0.3, 0.5)),
      ...Array<number>(samples(lingerS * between(0.5, 1.5))).fill(0),
    ]).flat();
  },
  eight(between) {
    const [peak, slow, halfS] = [between(300, 700), between(60, 220), between(0.4, 0.65)];
    const at = (i: number) => slow + (peak - slow) * Math.sin((Math.PI * i) / samples(halfS)) ** 2;
    return Array.from({ length: samples(7 * halfS) }, (_, i) => at(i) * between(0.97, 1.03));
  },
  loops(between) {
    const [dps, turnS] = [between(350, 800), between(0.15, 0.5)];
    return Array.from({ length: 3 }, () => {
      const whole = swing(dps * between(0.9, 1.1), 2 * turnS);
      const half = whole.length >> 1;
      const steady = Array<number>(samples(between(0.8, 1.6))).fill(whole[half]!);
      return [...whole.slice(0, half), ...steady, ...whole.slice(half)];
    }).flat();
  },
};

/** Speed of a minimum-jerk swing from rest to rest: 16 u^2 (1 - u)^2 of its peak (Flash and Hogan 1985 [from memory]). */
function swing(peakDps: number, durationS: number): number[] {
  const length = samples(durationS);
  return Array.from({ length }, (_, i) => 16 * peakDps * (i / length) ** 2 * (1 - i / length) ** 2);
}

function mapOf(spin: readonly number[], between: Between): GuardGrid {
  const settleS = between(0, 0.3);
  const before = Array<number>(samples(BEFORE_S)).fill(0);
  const after = Array.from({ length: samples(AFTER_S) }, (_, i) =>
    i < samples(settleS) ? between(20, 260) : 0,
  );
  const signals = signalsOf(Float64Array.from([...before, ...spin, ...after]));
  const startUs = BEFORE_S * 1e6;
  const span: SpanLabel = { startUs, endUs: startUs + spin.length * 1e4, kind: 'spinning', by: 'person' };
  const labels = { presses: [], spans: [span], swings: [] };
  const truth = { swings: [], spinning: [span], reversals: [] };
  const take = { id: 't', title: 'T', performer: '', signals, presses: [], labels, truth };
  const { guard } = DEFAULT_CANDIDATE;
  const { pressed: _, ...grid } = motionGrid(
    take,
    { ...guard, patienceMs: 300 },
    sweepTake(take, guard, AXES),
  );
  return grid;
}

function samples(s: number): number {
  return Math.round(s * RATE_HZ);
}

function signalsOf(speed: Float64Array): SpeedSignals {
  return speedSignals(
    speed,
    speed.map((_, i) => i * 1e4),
    RATE_HZ,
  );
}
