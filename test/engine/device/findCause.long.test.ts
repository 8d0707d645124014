import { describe, expect, test } from 'vitest';
import type { FireKind, LoggedDecisions } from '../../../server/engine/base/decisions.ts';
import type { Press, UniformLog } from '../../../server/engine/base/log.ts';
import { buildTimeBase } from '../../../server/engine/base/timeBase.ts';
import { DEFAULT_CALIBRATION } from '../../../server/engine/calibrate/calibration.ts';
import type { Cause } from '../../../server/engine/device/causes.ts';
import { findCause } from '../../../server/engine/device/findCause.ts';
import { PropDetectors } from '../../../server/engine/prop/propDetectors.ts';
import type { Candidate } from '../../../server/engine/settings/candidate.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { causeTexts } from '../../../server/engine/words/device.ts';
import { seededNormal } from '../../seeded.ts';

const RATE_HZ = 200;
const SECONDS = 24;

/** Rest, swings of rising speed with twists in between, and blows along the blade: all detectors have something to do. */
const LOG: UniformLog = (() => {
  const normal = seededNormal(11);
  const noisy = (value: number, size: number) => value + size * normal();
  const at = Float64Array.from({ length: SECONDS * RATE_HZ }, (_, i) => i / RATE_HZ);
  const swings = (t: number) =>
    t > 3 && t < 20 ? (150 + 25 * (t - 3)) * Math.sin(2 * Math.PI * 0.8 * t) : 0;
  const twists = (t: number) => (t > 21 && t < 23 ? 150 * Math.sin(2 * Math.PI * t) : 0);
  const blow = (t: number) => (t > 4 && t < 20 && t % 1.7 < 0.015 ? 6 : 0);
  return buildTimeBase({
    timeUs: at.map((t) => Math.round(t * 1e6)),
    gyroXDps: at.map((t) => noisy(twists(t), 0.05)),
    gyroYDps: at.map((t) => noisy(swings(t), 0.05)),
    gyroZDps: at.map(() => noisy(0, 0.05)),
    accelXG: at.map((t) => noisy(blow(t), 0.002)),
    accelYG: at.map(() => noisy(0, 0.002)),
    accelZG: at.map(() => noisy(1, 0.002)),
  }).uniform;
})();
const PRESSES: readonly Press[] = Array.from({ length: 30 }, (_, i) => ({
  button: 'power',
  downUs: 500_000 + 750_000 * i,
  upUs: 680_000 + 750_000 * i,
}));

interface Prop {
  readonly candidate?: Candidate;
  readonly lateSamples?: number;
  readonly gyroFactor?: number;
  readonly accelFactor?: number;
}

/** What a prop logs that takes one sample after the other. */
function propLog({
  candidate = DEFAULT_CANDIDATE,
  lateSamples = 0,
  gyroFactor: g = 1,
  accelFactor: a = 1,
}: Prop) {
  const prop = new PropDetectors(candidate, DEFAULT_CALIBRATION, RATE_HZ, true);
  const closed: boolean[] = [];
  const fires: { kind: FireKind; atUs: number; steps: number }[] = [];
  const { gyroXDps: gx, gyroYDps: gy, gyroZDps: gz, accelXG: ax, accelYG: ay, accelZG: az } = LOG;
  for (const [i, timeUs] of LOG.timeUs.entries()) {
    const k = Math.max(0, i - lateSamples);
    prop.step(g * gx[k]!, g * gy[k]!, g * gz[k]!, a * ax[k]!, a * ay[k]!, a * az[k]!, false);
    closed.push(prop.isGuardClosed);
    const told = { deflection: prop.deflects, impact: prop.impacts, stab: prop.stabs, twist: prop.twists };
    for (const [kind, has] of Object.entries(told))
      if (has) fires.push({ kind: kind as FireKind, atUs: timeUs, steps: 1 });
    if (prop.dialSteps !== 0) fires.push({ kind: 'dial', atUs: timeUs, steps: prop.dialSteps });
  }
  const isClosedAt = (us: number) => closed[Math.round((us * RATE_HZ) / 1e6)]!;
  return {
    guardClosed: closed.flatMap((own, i) =>
      own && !closed[i - 1]
        ? [{ startUs: LOG.timeUs[i]!, endUs: LOG.timeUs[closed.indexOf(false, i)] ?? SECONDS * 1e6 }]
        : [],
    ),
    refusedUs: PRESSES.map(({ downUs, upUs }) =>
      candidate.guard.decideAt === 'press' ? downUs : upUs!,
    ).filter(isClosedAt),
    fires,
  } satisfies LoggedDecisions;
}

function search(logged: LoggedDecisions, others: readonly { name: string; candidate: Candidate }[] = []) {
  return findCause({
    uniform: LOG,
    presses: PRESSES,
    allPresses: PRESSES,
    calibration: DEFAULT_CALIBRATION,
    candidate: DEFAULT_CANDIDATE,
    logged,
    others,
  });
}

const withGuard = (change: Partial<Candidate['guard']>): Candidate => ({
  ...DEFAULT_CANDIDATE,
  guard: { ...DEFAULT_CANDIDATE.guard, ...change },
});
const setting = (path: string, value: number, within: number) => (cause: Cause) =>
  cause.kind === 'setting' && cause.path === path && Math.abs(Number(cause.value) - value) <= within;

describe('the cause of what prop and bench do not share', () => {
  test('none, where they share everything', () => {
    const found = search(propLog({}));
    expect(found.agreement.differences).toEqual([]);
    expect(found.agreement.ofKind.size).toBeGreaterThan(5);
    expect(causeTexts(found)).toEqual(['There is nothing to explain.']);
  });

  test.each<[string, Prop, (cause: Cause) => boolean]>([
    [
      'another speed of the guard',
      { candidate: withGuard({ speedDps: 300 }) },
      setting('guard.speedDps', 300, 2),
    ],
    ['a hold', { candidate: withGuard({ holdMs: 135 }) }, setting('guard.holdMs', 135, 5)],
    [
      'a finer dial',
      { candidate: { ...DEFAULT_CANDIDATE, twist: { ...DEFAULT_CANDIDATE.twist, degPerStep: 10 } } },
      setting('twist.degPerStep', 10, 0.5),
    ],
    [
      'a sensor of half the range',
      { gyroFactor: 0.5 },
      (cause) => cause.kind === 'unit' && cause.part === 'gyro' && cause.factor === 0.5,
    ],
    [
      'forces in m/s² taken for g',
      { accelFactor: 9.80665 },
      (cause) => cause.kind === 'unit' && cause.part === 'accel' && cause.factor === 9.80665,
    ],
    [
      'a button that acts when it is let go',
      { candidate: withGuard({ decideAt: 'release' }) },
      (cause) => cause.kind === 'setting' && cause.value === 'release',
    ],
    ['35 ms of delay', { lateSamples: 7 }, (cause) => cause.kind === 'late' && cause.samples === 7],
  ])('%s', (_what, prop, isRight) => {
    const found = search(propLog(prop));
    expect(found.agreement.differences.length).toBeGreaterThan(2);
    expect(
      found.best.some(({ cause }) => isRight(cause)),
      causeTexts(found).join('\n'),
    ).toBe(true);
  });

  test('another setting as a whole, where it is known', () => {
    const candidate: Candidate = {
      ...withGuard({ speedDps: 120, holdMs: 200 }),
      deflection: { ...DEFAULT_CANDIDATE.deflection, speedDps: 400 },
    };
    const found = search(propLog({ candidate }), [{ name: 'candidate B', candidate }]);
    expect(found.best.map(({ cause }) => cause)).toEqual([{ kind: 'candidate', name: 'candidate B' }]);
    expect(causeTexts(found)[0]).toMatch(
      /^Likely cause: the prop runs candidate B \(none of \d+ differences is left\)\.$/,
    );
  });

  test('two at once: the second is found on top of the first', () => {
    const found = search(propLog({ lateSamples: 6, candidate: withGuard({ speedDps: 330 }) }));
    const named = [...found.best, ...(found.rest ? [found.rest] : [])].map(({ cause }) => cause);
    expect(named.some(({ kind }) => kind === 'late')).toBe(true);
    expect(named.some(setting('guard.speedDps', 330, 6)), causeTexts(found).join('\n')).toBe(true);
  });

  test('a detector that the prop does not have', () => {
    const logged = propLog({});
    const found = search({ ...logged, fires: logged.fires.filter(({ kind }) => kind !== 'dial') });
    expect(found.best.map(({ cause }) => cause)).toContainEqual({ kind: 'silent', fires: 'dial' });
  });

  test('is not known of two presses, which something or other would explain', () => {
    const { refusedUs } = propLog({});
    const own = [PRESSES[5]!.downUs, PRESSES[21]!.downUs];
    const flipped = [
      ...refusedUs.filter((us) => !own.includes(us)),
      ...own.filter((us) => !refusedUs.includes(us)),
    ];
    const found = search({ guardClosed: null, refusedUs: flipped.sort((a, b) => a - b), fires: null });
    expect(causeTexts(found)).toEqual(['The cause is not known: 2 differences are too few to tell one by.']);
  });

  test('is not known where the prop decides at random', () => {
    const normal = seededNormal(5);
    const guardClosed = Array.from({ length: 60 }, (_, i) => {
      const startUs = Math.round(300_000 * (i + 0.3 + 0.2 * Math.abs(normal())));
      return { startUs, endUs: startUs + 40_000 };
    });
    const found = search({ guardClosed, refusedUs: null, fires: null });
    expect(found.best).toEqual([]);
    expect(causeTexts(found)[0]).toContain('The cause is not known');
  });
});
