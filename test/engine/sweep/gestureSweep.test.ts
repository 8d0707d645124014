import { describe, expect, test } from 'vitest';
import {
  GESTURE_MAPS,
  type GestureBase,
  type GestureMapKind,
  gestureMap,
  withXY,
} from '../../../server/engine/choose/gestures/maps.ts';
import { sweepGestureTake } from '../../../server/engine/choose/gestures/take.ts';
import { type Labels, settleGestures } from '../../../server/engine/labels/labels.ts';
import { scoreGesture, windowOf } from '../../../server/engine/score/gestureScore.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { sweepGestures } from '../../../server/engine/sweep/gestureSweep.ts';
import { fc } from '../properties.ts';
import { drawnGestures } from './drawnGestures.ts';

const { impact, stab, twist } = DEFAULT_CANDIDATE;

/** Values that the drawn traces meet exactly, and some that they do not. */
const AXES = {
  stab: { xs: [0.25, 0.5, 0.6, 1, 1.75, 3], ys: [0, 20, 40, 70, 130] },
  impact: { xs: [0.25, 0.5, 0.7, 1, 1.5, 2.5, 3.5], ys: [0, 0.1, 0.25, 1] },
  twist: { xs: [1, 10, 30, 31, 60, 90], ys: [20, 60, 200, 500, 2000] },
} as const satisfies Record<GestureMapKind, { xs: number[]; ys: number[] }>;

const anyBase: fc.Arbitrary<GestureBase> = fc
  .record({
    restMs: fc.constantFrom(0, 60, 200),
    highG: fc.constantFrom(0.5, 2, 6),
    sustainMs: fc.constantFrom(0, 20, 60),
    stabQuietDps: fc.constantFrom(50, 200, 800),
    windowMs: fc.constantFrom(0, 100, 300),
    quietBeforeMs: fc.constantFrom(0, 30, 100, 300),
    untilHitDps: fc.constantFrom(40, 300, 10000),
    hitRatio: fc.constantFrom(0.1, 0.25, 1),
    twistQuietDps: fc.constantFrom(50, 300, 900),
  })
  .map(({ restMs, highG, stabQuietDps, twistQuietDps, ...of }) => ({
    ...DEFAULT_CANDIDATE,
    impact: { ...impact, restMs, impactG: highG },
    stab: { ...stab, quietDps: stabQuietDps, ...of },
    twist: { ...twist, quietDps: twistQuietDps },
  }));

/** The slow way: a run of the detector for every cell, scored as Tune scores it. */
function scoreOf(
  drawn: Pick<ReturnType<typeof drawnGestures>, 'signals' | 'labels'>,
  kind: GestureMapKind,
  base: GestureBase,
) {
  const { run } = gestureMap(kind);
  const { signals, labels } = drawn;
  const fires = run(signals, base);
  const confirmed = { ...labels, gestures: (labels.gestures ?? []).filter(({ by }) => by !== 'program') };
  const score = scoreGesture(kind, signals, fires, confirmed, base);
  return {
    score,
    fires,
    atUnconfirmed: atUnconfirmed(signals.timeUs, fires, labels, confirmed, gestureMap(kind).gesture),
  };
}

/** Fires at gestures of the program's that no confirmed one has: they are not to count as false. */
function atUnconfirmed(
  timeUs: Float64Array,
  fires: Int32Array,
  labels: Labels,
  confirmed: Labels,
  kind: ReturnType<typeof gestureMap>['gesture'],
): number {
  const settled = settleGestures(labels, kind);
  const isIn = (us: number, spans: readonly { startUs: number; endUs: number }[]) =>
    spans.some((span) => windowOf(span).startUs <= us && us <= windowOf(span).endUs);
  const sure = settleGestures(confirmed, kind);
  const proposed = settled.filter(({ by }) => by === 'program');
  return sure.length === 0
    ? 0
    : [...fires].map((i) => timeUs[i]!).filter((us) => isIn(us, proposed) && !isIn(us, sure)).length;
}

describe.each(GESTURE_MAPS)('the map of %s', (kind) => {
  const axes = AXES[kind];
  test('every cell equals a run with those settings, on any trace with gaps, NaN and new starts', () => {
    fc.assert(
      fc.property(fc.nat(), anyBase, (seed, base) => {
        const drawn = drawnGestures(seed);
        const grid = sweepGestureTake(drawn, kind, base, axes);
        axes.xs.forEach((x, i) => {
          axes.ys.forEach((y, j) => {
            const cell = i * axes.ys.length + j;
            const { score, atUnconfirmed: unjudged } = scoreOf(drawn, kind, withXY(base, kind, x, y));
            const falseFires = score.falseFires === null ? 0 : score.falseFires - unjudged;
            expect(grid.sizes.gestures).toBe(score.hit.n);
            expect(
              [grid.wrong.missed[cell], grid.wrong.again[cell], grid.wrong.outside[cell]],
              `${x} ${y}`,
            ).toEqual([score.missed.k, score.again, falseFires]);
            expect(grid.timesMs.delayMedianMs[cell]).toBe(score.delayMs?.median ?? Number.NaN);
          });
        });
      }),
      { numRuns: 120 },
    );
  });

  test('the fires themselves are those of the detector, sample by sample', () => {
    const seen = new Set<number>();
    for (let seed = 0; seed < 60; ++seed) {
      const { signals } = drawnGestures(seed);
      const { sweeper, run } = gestureMap(kind);
      const base: GestureBase = { ...DEFAULT_CANDIDATE, impact: { ...impact, impactG: 1 } };
      const sweep = sweeper(signals, base);
      for (const y of axes.ys) {
        const swept = sweep(Float64Array.from(axes.xs), withXY(base, kind, axes.xs[0], y));
        axes.xs.forEach((x, i) => {
          const fires = run(signals, withXY(base, kind, x, y));
          expect([...Array.from(swept[i]!)], `seed ${seed}, ${x}, ${y}`).toEqual([...fires]);
          seen.add(fires.length);
        });
      }
    }
    // no fire, one, several: what is compared is there
    expect(seen.size).toBeGreaterThan(4);
  });

  test('the drawn takes hold what the comparison is about', () => {
    const seen = { missed: 0, again: 0, outside: 0 };
    const base: GestureBase = {
      ...DEFAULT_CANDIDATE,
      impact: { ...impact, impactG: 0.5, restMs: 0 },
      stab: { ...stab, quietDps: 800, windowMs: 300, quietBeforeMs: 0, untilHitDps: 10000 },
    };
    for (let seed = 0; seed < 30; ++seed) {
      const grid = sweepGestureTake(drawnGestures(seed), kind, base, axes);
      for (const name of ['missed', 'again', 'outside'] as const)
        if (grid.wrong[name].some((count) => count > 0)) ++seen[name];
    }
    for (const count of Object.values(seen)) expect(count).toBeGreaterThan(5);
  });
});

test.each([
  ['no value', [], [1], /xs needs at least one/],
  ['values that do not rise', [1], [2, 1], /ys must rise/],
  ['a value that is no number', [1, Number.NaN], [1], /xs must be finite/],
])('%s is refused', (_name, xs, ys, message) => {
  const confirmed = { gestures: [], unconfirmed: [], tellsOutside: true };
  const args = { timeUs: new Float64Array(3), confirmed, xs, ys, firesAt: () => [] };
  expect(() => sweepGestures(args)).toThrow(message);
});

test.each([
  ['stab', [0, 1], [10], /stab.thrustG must be above 0/],
  ['impact', [0, 1], [0], /impact.impactG must be above 0/],
  ['impact', [1], [-1, 0], /allowanceGPer100Dps must be 0 or more/],
  ['twist', [0, 1], [100], /twist.angleDeg must be above 0/],
  ['twist', [10], [0, 100], /twist.windowMs must be above 0/],
] as const)('a setting of %s out of bounds is refused', (kind, xs, ys, message) => {
  expect(() =>
    sweepGestureTake(drawnGestures(1), kind, DEFAULT_CANDIDATE, { xs: [...xs], ys: [...ys] }),
  ).toThrow(message);
});
