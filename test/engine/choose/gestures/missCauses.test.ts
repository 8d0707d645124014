import { describe, expect, test } from 'vitest';
import { judgeGestures } from '../../../../server/engine/choose/gestures/judge.ts';
import {
  GESTURE_MAPS,
  type GestureBase,
  type GestureMapKind,
  withXY,
} from '../../../../server/engine/choose/gestures/maps.ts';
import { missCauses } from '../../../../server/engine/choose/gestures/missCauses.ts';
import type { GestureKind } from '../../../../server/engine/labels/labels.ts';
import { DEFAULT_CANDIDATE } from '../../../../server/engine/settings/candidateRules.ts';
import { missCauseText } from '../../../../server/engine/words/choose/missCauses.ts';
import { fakeSignals } from '../../fakeSignals.ts';
import { AXES, base as drawnBase, drawnTake } from './drawnTakes.ts';

const RATE_HZ = 100;
const LENGTH = 4 * RATE_HZ;

/** A column that is 0 but from some sample to before another. */
const pulse = (from: number, to: number, height: number) =>
  Float64Array.from({ length: LENGTH }, (_, i) => (i >= from && i < to ? height : 0));

/** One gesture at 2 s, 0.2 s long, on these signals. */
function causeOf(
  kind: GestureKind,
  columns: Parameters<typeof fakeSignals>[0],
  base: GestureBase,
): string | null {
  const zeros = { swingSpeedDps: new Float64Array(LENGTH) };
  const signals = fakeSignals({ ...zeros, ...columns }, { rateHz: RATE_HZ });
  const label = { kind, startUs: 2e6, endUs: 2.2e6, by: 'person' as const };
  const labels = { presses: [], spans: [], swings: [], gestures: [label] };
  const map = kind === 'thrust' ? 'stab' : kind === 'hit' ? 'impact' : 'twist';
  const found = causesIn({ signals, labels }, map, base);
  expect(found.length).toBeLessThanOrEqual(1);
  return found[0] ? missCauseText(map, found[0]) : null;
}

/** The cause of each gesture that is missed. */
function causesIn(take: Parameters<typeof judgeGestures>[0], map: GestureMapKind, base: GestureBase) {
  const missed = judgeGestures(take, map, base).filter(({ wrong }) => wrong === 'missed');
  const startsUs = missed.map(({ atUs }) => atUs);
  const causes = missCauses(take, map, base, startsUs);
  expect([...causes.keys()].sort((a, b) => a - b)).toEqual(startsUs);
  return startsUs.map((us) => causes.get(us)!);
}

const base: GestureBase = {
  ...DEFAULT_CANDIDATE,
  impact: { impactG: 3, restMs: 120, allowanceGPer100Dps: 0, highPassHz: 20 },
  stab: {
    thrustG: 1,
    sustainMs: 50,
    quietDps: 200,
    quietBeforeMs: 300,
    windowMs: 100,
    untilHitDps: 300,
    hitRatio: 0.2,
  },
  twist: { ...DEFAULT_CANDIDATE.twist, angleDeg: 60, windowMs: 200, quietDps: 120 },
};

describe('why a thrust is missed', () => {
  const push = pulse(200, 215, 1.5);
  const hit = pulse(217, 219, 2);
  const stab = (columns: Parameters<typeof fakeSignals>[0]) =>
    causeOf('thrust', { thrustG: push, impactG: hit, ...columns }, base);
  test.each<[string, Parameters<typeof fakeSignals>[0], string | null]>([
    ['nothing is amiss', {}, null],
    ['too gentle', { thrustG: pulse(200, 215, 0.96) }, 'it reaches 0.96 g of the 1 g asked'],
    ['too short', { thrustG: pulse(210, 214, 1.5) }, 'its push lasts less than 50 ms'],
    [
      'soon after a swing',
      { swingSpeedDps: pulse(150, 180, 400) },
      'the blade is not quiet for 300 ms before it',
    ],
    ['in a swing', { swingSpeedDps: pulse(0, 213, 250) }, 'the blade is faster than 200 °/s'],
    [
      'swung before the hit',
      { swingSpeedDps: pulse(215, 220, 320) },
      'the blade is faster than 300 °/s before the hit',
    ],
    ['a hit too weak', { impactG: pulse(217, 219, 0.4) }, 'its hit is too weak'],
    ['a hit too late', { impactG: pulse(230, 232, 2) }, 'its hit comes later than 100 ms after the push'],
    ['no hit at all', { impactG: new Float64Array(LENGTH) }, 'more than one setting keeps it from firing'],
    ['no force known', { thrustG: new Float64Array(LENGTH).fill(Number.NaN) }, 'there is no motion data'],
  ])('%s', (_name, columns, cause) => {
    expect(stab(columns)).toBe(cause);
  });
});

describe('why a hit is missed', () => {
  test.each<[string, Parameters<typeof fakeSignals>[0], number, string | null]>([
    ['nothing is amiss', { impactG: pulse(205, 207, 4) }, 0, null],
    ['too weak', { impactG: pulse(205, 207, 2.99) }, 0, 'it reaches 2.99 g of the 3 g asked'],
    [
      'in a swing',
      { impactG: pulse(205, 207, 4), swingSpeedDps: pulse(0, LENGTH, 500) },
      0.5,
      'it reaches 1.5 g of the 3 g asked, the rise with speed taken off',
    ],
    [
      'soon after another',
      { impactG: pulse(190, 192, 4).map((g, i) => g + pulse(198, 200, 4)[i]!) },
      0,
      'another impact comes less than 120 ms before',
    ],
  ])('%s', (_name, columns, allowanceGPer100Dps, cause) => {
    const impact = { ...base.impact, allowanceGPer100Dps };
    expect(causeOf('hit', columns, { ...base, impact })).toBe(cause);
  });
});

describe('why a twist is missed', () => {
  /** Turned by so many degrees from 2 s on, in so many samples. */
  const turned = (deg: number, samples: number, from = 200) => {
    const rate = (deg * RATE_HZ) / samples;
    return {
      twistRateDps: pulse(from, from + samples, rate),
      twistDeg: Float64Array.from(
        { length: LENGTH },
        (_, i) => (deg * Math.min(samples, Math.max(0, i - from))) / samples,
      ),
    };
  };
  test.each<[string, Parameters<typeof fakeSignals>[0], string | null]>([
    ['nothing is amiss', turned(70, 20), null],
    ['too small', turned(45, 20), 'it reaches 45° of the 60° asked'],
    ['too slow', turned(70, 34), 'it takes longer than 200 ms'],
    [
      'in a swing',
      { ...turned(70, 20), swingSpeedDps: pulse(0, LENGTH, 150) },
      'the blade is faster than 120 °/s',
    ],
    [
      'slow, and in a swing',
      { ...turned(70, 34), swingSpeedDps: pulse(0, LENGTH, 150) },
      'more than one setting keeps it from firing',
    ],
  ])('%s', (_name, columns, cause) => {
    expect(causeOf('twist', columns, base)).toBe(cause);
  });
});

test.each(GESTURE_MAPS)('on drawn takes, each gesture missed by %s has its cause', (kind) => {
  let missed = 0;
  for (let seed = 0; seed < 8; ++seed) {
    const { xs, ys } = AXES[kind];
    const set = withXY(drawnBase, kind, xs.at(-1)!, ys[1]!);
    for (const cause of causesIn(drawnTake(seed), kind, set)) {
      expect(missCauseText(kind, cause)).not.toMatch(/undefined|NaN/);
      ++missed;
    }
  }
  expect(missed).toBeGreaterThan(3);
});
