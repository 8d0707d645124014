import { samplesFromMs } from '../../server/engine/base/sampleCount.ts';
import { runDeflection } from '../../server/engine/detect/deflection.ts';
import { Cascade } from '../../server/engine/filter/biquad.ts';
import { designLowPass } from '../../server/engine/filter/butterworth.ts';
import { EMPTY_LABELS } from '../../server/engine/labels/labels.ts';
import type { SpeedSignals } from '../../server/engine/motion/signals.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { sweepFires } from '../../server/engine/sweep/fireSweep.ts';
import { sweepGuard } from '../../server/engine/sweep/guardSweep.ts';
import { seededNormal } from '../simulate/random.ts';
import { type Print, pair } from './pair.ts';

const SAMPLES = 3_600_000;
const RATE_HZ = 1000;
const SPEEDS = Array.from({ length: 200 }, (_, i) => 20 + 4 * i);
const HOLDS = Array.from({ length: 40 }, (_, i) => 10 * i);

export async function benchSweeps(print: Print): Promise<void> {
  const signals = makeSignals();
  const { deflection, guard } = DEFAULT_CANDIDATE;
  const speeds = Float64Array.from(SPEEDS);
  const inOnePass = (): number =>
    sweepFires(signals, speeds, deflection, 'always').reduce((sum, fires) => sum + fires.length, 0);
  const naive = (): number =>
    SPEEDS.reduce((sum, speedDps) => sum + runDeflection(signals, { ...deflection, speedDps })!.length, 0);
  if (inOnePass() !== naive()) throw new Error('the sweep and the naive passes disagree');
  await pair(print, 'fires at 200 speeds, 1 h at 1 kHz', inOnePass, '200 passes', naive, '≥ 10');

  const spinning = [{ startUs: 0, endUs: signals.timeUs[SAMPLES - 1]! + 1 }];
  const sweep = (holdsMs: readonly number[]) =>
    sweepGuard({
      signals,
      presses: [],
      labels: EMPTY_LABELS,
      spinning,
      base: guard,
      xs: SPEEDS,
      ys: holdsMs,
    });
  const ours = sweep(HOLDS).openShare;
  const peer = openSharesBySlidingMaximum(signals.swingSpeedDps);
  if (ours.some((share, k) => share !== peer[k])) throw new Error('the open shares disagree');
  const open = (): unknown => sweep(HOLDS);
  const deque = (): unknown => openSharesBySlidingMaximum(signals.swingSpeedDps);
  await pair(print, 'guard over 200 speeds × 40 holds', open, 'sliding maximum and histogram', deque, '≥ 8');
  const twice = (): unknown => sweep(Array.from({ length: 80 }, (_, i) => 5 * i));
  await pair(print, 'guard over 40 holds', open, '80 holds', twice, '≤ 1.2');
}

/** An hour of swings with pauses, filtered noise on top: one segment, no gaps. */
function makeSignals(): SpeedSignals {
  const normal = seededNormal(3);
  const filter = new Cascade(designLowPass(2, 25, RATE_HZ));
  const speed = new Float64Array(SAMPLES);
  const timeUs = new Float64Array(SAMPLES);
  for (let i = 0; i < SAMPLES; ++i) {
    const t = i / RATE_HZ;
    const swing =
      t % 30 > 8 ? 600 * Math.abs(Math.sin(2 * Math.PI * 0.6 * t)) * (0.7 + 0.3 * Math.sin(t / 7)) : 0;
    speed[i] = Math.abs(filter.step(swing + 3 * normal()));
    timeUs[i] = i * 1000;
  }
  return speedSignals(speed, timeUs, RATE_HZ);
}

/** Signals in one stretch that hold a speed alone. */
export function speedSignals(speed: Float64Array, timeUs: Float64Array, rateHz: number): SpeedSignals {
  return {
    rateHz,
    timeUs,
    segments: [{ start: 0, end: speed.length }],
    saturated: new Uint8Array(speed.length),
    swingSpeedDps: speed,
    trueSpeedDps: speed,
  };
}

/**
 * The plain way: for each hold the maximum over the last `hold` samples (a monotone deque) says at once for every speed
 * whether the guard is closed; a histogram of it gives all shares.
 */
function openSharesBySlidingMaximum(speed: Float64Array): Float64Array {
  const shares = new Float64Array(SPEEDS.length * HOLDS.length);
  const deque = new Int32Array(speed.length);
  HOLDS.forEach((holdMs, h) => {
    const width = Math.max(1, samplesFromMs(holdMs, RATE_HZ));
    const histogram = new Float64Array(SPEEDS.length + 1);
    let head = 0;
    let tail = 0;
    for (let i = 0; i < speed.length; ++i) {
      while (tail > head && speed[deque[tail - 1]!]! <= speed[i]!) --tail;
      deque[tail++] = i;
      if (deque[head]! <= i - width) ++head;
      const reached = Math.floor((speed[deque[head]!]! - SPEEDS[0]!) / 4) + 1;
      histogram[Math.min(SPEEDS.length, Math.max(0, reached))]! += 1;
    }
    let open = 0;
    for (let s = 0; s < SPEEDS.length; ++s) {
      open += histogram[s]!;
      shares[s * HOLDS.length + h] = open / speed.length;
    }
  });
  return shares;
}
