import { describe, expect, test } from 'vitest';
import { DEVICES } from '../../scripts/simulate/demo/devices.ts';
import type { SimulatedTake } from '../../scripts/simulate/take.ts';
import type { MotionLog, Press } from '../../server/engine/base/log.ts';
import { buildTimeBase } from '../../server/engine/base/timeBase.ts';
import { type GuardSettings, runGuard } from '../../server/engine/detect/guard.ts';
import { judgePresses } from '../../server/engine/detect/presses.ts';
import { explainSlip, type SlipCause, type SlipExplanation } from '../../server/engine/explain/causes.ts';
import { computeMotion, type Motion } from '../../server/engine/motion/motion.ts';
import { computeSignals, type Signals } from '../../server/engine/motion/signals.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { findTruth } from '../../server/engine/truth/truth.ts';
import { slipText } from '../../server/engine/words/slips.ts';
import { seededRandom } from '../seeded.ts';
import { labelsOf, type Seen, see } from './simulated.ts';
import { type SlipTruth, slipTruth, trueCause } from './slipTruth.ts';
import { spinWorkspace, WORKSPACE_SEEDS } from './spinWorkspaces.ts';

const guard = (change: Partial<GuardSettings> = {}): GuardSettings => ({
  ...DEFAULT_CANDIDATE.guard,
  ...change,
});

interface Slip {
  readonly press: Press;
  readonly explained: SlipExplanation;
}

/** What the engine says of every press that slips, and that each change it names would have refused it. */
function slips(
  signals: Signals,
  motion: Motion,
  take: SimulatedTake,
  presses: readonly Press[],
  settings: GuardSettings,
) {
  const closed = runGuard(signals, settings);
  const truth = findTruth(motion, labelsOf(take));
  const found: Slip[] = [];
  for (const verdict of judgePresses(signals, closed, presses, settings)) {
    const explained = explainSlip({ signals, closed, verdict, settings, truth });
    expect(explained === null).toBe(verdict.accepted !== true);
    if (explained === null) continue;
    found.push({ press: verdict.press, explained });
    for (const { path, value } of explained.fixes) {
      const changed = { ...settings, [path.slice('guard.'.length)]: value };
      const [again] = judgePresses(signals, runGuard(signals, changed), [verdict.press], changed);
      expect(again!.accepted, `${path} ${value}`).toBe(false);
      ++fixesTried;
    }
  }
  return found;
}

/** Strays at random moments: within spins, near their turning points and starts, and a few anywhere. */
function strays({ truth }: SimulatedTake, seed: number): Press[] {
  const random = seededRandom(seed);
  const press = (atUs: number): Press => {
    const downUs = Math.round(Math.max(0, Math.min(truth.durationUs - 400_000, atUs)));
    return { button: 'power', downUs, upUs: downUs + Math.round(60_000 + 200_000 * random()) };
  };
  const spins = truth.spans.filter(({ kind }) => kind === 'spinning');
  return [
    ...truth.reversals.map(({ timeUs }) => press(timeUs + 120_000 * (random() - 0.5))),
    ...spins.flatMap(({ startUs, endUs }) => [
      ...Array.from({ length: 5 }, () => press(startUs + (endUs - startUs) * random())),
      ...Array.from({ length: 4 }, () => press(startUs + 250_000 * random())),
    ]),
    ...Array.from({ length: 3 }, () => press(truth.durationUs * random())),
  ];
}

/** A second-order Butterworth low-pass is late by √2 / (2π corner) at low frequencies. */
function sensorDelayUs({ truth }: SimulatedTake): number {
  const { bandwidthHz } = DEVICES[truth.sensor.name as keyof typeof DEVICES].gyro;
  return (Math.SQRT2 / (2 * Math.PI * bandwidthHz)) * 1e6;
}

/** The row that judges a press. */
function rowUs({ timeUs }: MotionLog, atUs: number): number {
  return timeUs[timeUs.findLastIndex((us) => us <= atUs)]!;
}

let fixesTried = 0;
const tally = new Map<SlipCause | 'near a border', number>();
function count(cause: SlipCause | 'near a border'): void {
  tally.set(cause, (tally.get(cause) ?? 0) + 1);
}

/** Every slip has the cause that is true of it; those near a border are counted, not judged. */
function expectCauses(found: readonly Slip[], causeOf: (press: Press) => SlipCause | null): void {
  for (const { press, explained } of found) {
    const cause = causeOf(press);
    count(cause ?? 'near a border');
    if (cause !== null)
      expect(explained.reason.cause, `press at ${press.downUs} µs: ${slipText(explained.reason)}`).toBe(
        cause,
      );
  }
}

interface Case {
  readonly seen: Seen;
  readonly truth: SlipTruth;
  readonly presses: readonly Press[];
}

function caseOf(take: SimulatedTake, seed: number): Case {
  const truth = slipTruth(take, sensorDelayUs(take));
  return { seen: see(take), truth, presses: [...strays(take, seed), ...risingPresses(take, truth)] };
}

/** Just after each swing has passed the guard's speed: the smoothing has not yet. */
function risingPresses({ truth: { swings, rateHz } }: SimulatedTake, truth: SlipTruth): Press[] {
  return swings.flatMap(({ startUs, peakUs }) => {
    for (let us = startUs; us < peakUs; us += 500) {
      if (truth.speedDps(us) < 254) continue;
      const downUs = us + Math.round(1e6 / rateHz);
      return [{ button: 'power', downUs, upUs: downUs + 90_000 }];
    }
    return [];
  });
}

/** Slips of a log that is the take's own, or the take's with something done to it. */
function slipsOf({ seen, presses }: Case, settings: GuardSettings, log?: MotionLog, saturated?: Uint8Array) {
  const { take, calibration } = seen;
  const motion = log ? computeMotion(buildTimeBase(log, saturated).uniform, calibration) : seen.motion;
  const signals = computeSignals(motion, DEFAULT_CANDIDATE, []);
  return slips(signals, motion, take, presses, settings);
}

describe.each(WORKSPACE_SEEDS)('workspace %i: each slip has the cause that is true of it', (seed) => {
  const cases = spinWorkspace(seed).map((take, k) => caseOf(take, 10 * seed + k));

  test('judged at the press', () => {
    for (const one of cases) {
      expectCauses(slipsOf(one, guard()), ({ downUs }) =>
        trueCause(one.truth, downUs, rowUs(one.seen.take.log, downUs), guard()),
      );
    }
  });

  test('judged at the release', () => {
    const settings = guard({ decideAt: 'release' });
    for (const one of cases) {
      const { log } = one.seen.take;
      expectCauses(slipsOf(one, settings), ({ downUs, upUs }) => {
        const wasClosed = isClosed(one.truth, rowUs(log, downUs));
        if (wasClosed === null) return null;
        return wasClosed ? 'decidedAtRelease' : trueCause(one.truth, upUs!, rowUs(log, upUs!), settings);
      });
    }
  });

  test('with rows lost before a turning point', () => {
    const settings = guard({ holdMs: 250 });
    for (const one of cases) {
      const { take } = one.seen;
      // at every other turning point, so that the guard hears of the swings between
      const holes = take.truth.reversals
        .filter(({ lowestDps }, k) => k % 2 === 0 && lowestDps < 100)
        .map(({ timeUs }) => ({ fromUs: timeUs - 100_000, toUs: timeUs - 20_000 }));
      const presses = holes.map(({ toUs }, k) => ({
        ...one.presses[k]!,
        downUs: toUs + 12_000 + 9000 * (k % 5),
      }));
      const found = slipsOf({ ...one, presses }, settings, withoutRows(take.log, holes));
      expectCauses(found, ({ downUs }) => {
        const { fromUs, toUs } = holes.find((hole) => downUs > hole.toUs && downUs < hole.toUs + 60_000)!;
        const since = one.truth.fastestDps(toUs - 10_000, downUs);
        const before = one.truth.fastestDps(downUs - 235_000, fromUs - 10_000);
        return since < 228 && before > 252 ? 'gap' : null;
      });
    }
  });

  test('with a sensor that ends at 130 deg/s', () => {
    for (const one of cases) {
      const { log, saturated } = clipped(one.seen.take.log, 130);
      const presses = one.presses.filter((_, k) => k % 3 === 0);
      const found = slipsOf({ ...one, presses }, guard(), log, saturated);
      expect(found.length).toBe(presses.length);
      const fastest = ({ downUs }: Press, marginUs: number) =>
        one.truth.fastestDps(downUs - 1e6 + marginUs, downUs - marginUs);
      // 184 is what two axes at their ends make; below 118 none of them is there
      expectCauses(found, (press) => (fastest(press, 30_000) > 200 ? 'clipping' : null));
      for (const { press, explained } of found)
        if (fastest(press, -30_000) < 118) expect(explained.reason.cause).not.toBe('clipping');
    }
  });
});

test.each<[SlipCause, number]>([
  ['reversalDip', 100],
  ['slowPart', 40],
  ['beforeFirstClosing', 40],
  ['smoothingDelay', 100],
  ['decidedAtRelease', 40],
  ['gap', 40],
  ['clipping', 100],
  ['notSpinning', 40],
])('%s was judged, %i times and more', (cause, times) => {
  expect(tally.get(cause)).toBeGreaterThanOrEqual(times);
});

test('a thousand changes and more were tried', () => {
  expect(fixesTried).toBeGreaterThan(1000);
});

test('few were too near a border to judge', () => {
  const all = [...tally.values()].reduce((sum, n) => sum + n, 0);
  expect(tally.get('near a border')! / all).toBeLessThan(0.2);
});

/** Whether a guard was closed, its smoothing being up to 20 ms late; null where that is too near to tell. */
function isClosed(truth: SlipTruth, tUs: number): boolean | null {
  const speeds = [0, 5000, 10_000, 15_000, 20_000].map((us) => truth.speedDps(tUs - us));
  if (Math.min(...speeds) > 252) return true;
  return Math.max(...speeds) < 228 ? false : null;
}

function withoutRows(log: MotionLog, holes: readonly { fromUs: number; toUs: number }[]): MotionLog {
  const isLeft = (_: number, i: number) =>
    !holes.some(({ fromUs, toUs }) => fromUs < log.timeUs[i]! && log.timeUs[i]! < toUs);
  const columns = Object.entries(log).map(([name, column]) => [name, column.filter(isLeft)]);
  return Object.fromEntries(columns) as MotionLog;
}

function clipped(log: MotionLog, rangeDps: number): { log: MotionLog; saturated: Uint8Array } {
  const saturated = new Uint8Array(log.timeUs.length);
  const clip = (column: Float64Array) =>
    column.map((value, i) => {
      if (Math.abs(value) < rangeDps) return value;
      saturated[i] = 1;
      return Math.sign(value) * rangeDps;
    });
  const { gyroXDps, gyroYDps, gyroZDps } = log;
  return {
    log: { ...log, gyroXDps: clip(gyroXDps), gyroYDps: clip(gyroYDps), gyroZDps: clip(gyroZDps) },
    saturated,
  };
}
