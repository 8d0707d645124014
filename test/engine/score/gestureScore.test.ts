import { describe, expect, test } from 'vitest';
import {
  EMPTY_LABELS,
  type GestureKind,
  type GestureLabel,
  type Labels,
} from '../../../server/engine/labels/labels.ts';
import { GestureMatch } from '../../../server/engine/score/gestureMatch.ts';
import { scoreGesture } from '../../../server/engine/score/gestureScore.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { fakeSignals } from '../fakeSignals.ts';
import { fc } from '../properties.ts';

const EARLY_FIRE_MS = 50;
const LATE_GESTURE_FIRE_MS = 150;

const SAMPLES = 4000;
const signals = fakeSignals({ swingSpeedDps: new Float64Array(SAMPLES) });

/** At 1000 Hz a sample is a millisecond. */
const label = (startMs: number, endMs: number, kind: GestureKind = 'thrust'): GestureLabel => ({
  startUs: startMs * 1000,
  endUs: endMs * 1000,
  kind,
  by: 'person',
});

function stabScore(gestures: readonly GestureLabel[], firesMs: readonly number[]) {
  const labels = { ...EMPTY_LABELS, gestures };
  return scoreGesture('stab', signals, Int32Array.from(firesMs), labels, DEFAULT_CANDIDATE);
}

describe('scoreGesture', () => {
  const [early, late] = [50, 350];
  test.each<
    [string, GestureLabel[], number[], { hit: number; n: number; again: number; false: number | null }]
  >([
    ['a fire inside is a hit', [label(100, 200)], [150], { hit: 1, n: 1, again: 0, false: 0 }],
    ['150 ms after the end is a hit', [label(100, 200)], [late], { hit: 1, n: 1, again: 0, false: 0 }],
    ['a sample later is false', [label(100, 200)], [late + 1], { hit: 0, n: 1, again: 0, false: 1 }],
    ['50 ms before the start is a hit', [label(100, 200)], [early], { hit: 1, n: 1, again: 0, false: 0 }],
    ['a sample earlier is false', [label(100, 200)], [early - 1], { hit: 0, n: 1, again: 0, false: 1 }],
    [
      'further fires of one gesture, to the very edges, are neither hits nor false',
      [label(100, 200)],
      [early, 150, late],
      { hit: 1, n: 1, again: 2, false: 0 },
    ],
    [
      'one fire serves one of two gestures',
      [label(100, 200), label(250, 300)],
      [240],
      { hit: 1, n: 2, again: 0, false: 0 },
    ],
    [
      'two fires serve both, though each is nearer the first',
      [label(100, 200), label(330, 400)],
      [210, 290],
      { hit: 2, n: 2, again: 0, false: 0 },
    ],
    [
      'a gesture inside another has a fire of its own',
      [label(100, 500), label(200, 250)],
      [240, 480],
      { hit: 2, n: 2, again: 0, false: 0 },
    ],
    [
      'a fire of the outer gesture alone is no fire of the one inside it',
      [label(100, 900), label(200, 250)],
      [120, 880],
      { hit: 1, n: 2, again: 1, false: 0 },
    ],
    [
      'without labels of its kind no fire is called false',
      [label(100, 200, 'hit')],
      [150],
      { hit: 0, n: 0, again: 0, false: null },
    ],
  ])('%s', (_name, gestures, fires, expected) => {
    const score = stabScore(gestures, fires);
    expect({ hit: score.hit.k, n: score.hit.n, again: score.again, false: score.falseFires }).toEqual(
      expected,
    );
    expect(score.missed.k).toBe(score.hit.n - score.hit.k);
    expect(score.fires).toBe(fires.length);
  });

  test('every gesture is hit or missed, every fire is a hit, again or false, and no way to pair them has more hits', () => {
    const spans = fc.array(fc.tuple(fc.integer({ min: 60, max: 1500 }), fc.integer({ min: 1, max: 400 })), {
      minLength: 1,
      maxLength: 5,
    });
    const fires = fc.uniqueArray(fc.integer({ min: 0, max: 2500 }), { maxLength: 6 });
    fc.assert(
      fc.property(spans, fires, (raw, unsorted) => {
        const gestures = raw.map(([from, long]) => label(from, from + long));
        const firesMs = [...unsorted].sort((a, b) => a - b);
        const score = stabScore(gestures, firesMs);
        expect(score.hit.k + score.missed.k).toBe(gestures.length);
        expect(score.hit.k + score.again + score.falseFires!).toBe(firesMs.length);
        const outside = firesMs.filter((ms) => !gestures.some((gesture) => isIn(gesture, ms))).length;
        expect(score.falseFires).toBe(outside);
        expect(score.hit.k).toBe(mostPairs(gestures, firesMs));
      }),
      { numRuns: 300 },
    );
  });

  test('the delay counts from the start of the gesture', () => {
    expect(stabScore([label(100, 200), label(1000, 1100)], [190, 1050]).delayMs).toEqual({
      median: 70,
      p95: 88,
      n: 2,
    });
  });

  // Matched at their starts, the delays were 10 ms and 30 ms.
  test.each<[string, GestureLabel[], number[], number]>([
    ['of two fires at a gesture the one nearer its end is its own', [label(100, 200)], [110, 195], 95],
    ['a fire that may be either’s belongs to the nearer end', [label(100, 200), label(210, 400)], [240], 140],
  ])('%s', (_name, gestures, firesMs, delayMs) => {
    expect(stabScore(gestures, firesMs).delayMs).toMatchObject({ n: 1, median: delayMs });
  });

  test('says of what it missed how often the signal never reached the level', () => {
    const column = (from: number, value: number) => {
      const values = new Float64Array(SAMPLES);
      values.fill(value, from, from + 50);
      return values;
    };
    const { impact, stab, twist } = DEFAULT_CANDIDATE;
    const speed = new Float64Array(SAMPLES).fill(100);
    const missed = (scale: number) => {
      const faint = fakeSignals({
        thrustG: column(110, stab.thrustG * scale),
        impactG: column(110, (impact.impactG + impact.allowanceGPer100Dps) * scale),
        twistRateDps: column(110, 20.02 * twist.angleDeg * scale),
        swingSpeedDps: speed,
      });
      const gestures = [label(100, 200), label(100, 200, 'hit'), label(100, 200, 'twist')];
      const labels = { ...EMPTY_LABELS, gestures };
      return (['stab', 'impact', 'twist'] as const).map(
        (id) => scoreGesture(id, faint, new Int32Array(0), labels, DEFAULT_CANDIDATE).belowLevel,
      );
    };
    expect(missed(1)).toEqual([0, 0, 0]);
    expect(missed(0.99)).toEqual([1, 1, 1]);
  });

  test('where a simulation has labelled anything, a fire at nothing is false', () => {
    const spans = [{ startUs: 0, endUs: 900_000, kind: 'spinning', by: 'simulation' as const }];
    const labels = { ...EMPTY_LABELS, spans };
    const scored = (by: Labels) => scoreGesture('stab', signals, Int32Array.of(150), by, DEFAULT_CANDIDATE);
    expect(scored(labels)).toMatchObject({ falseFires: 1, fires: 1 });
    const given = { ...labels, spans: [{ ...spans[0]!, by: 'person' as const }] };
    expect(scored(given).falseFires).toBe(null);
  });

  test('counts whose labels it rests on', () => {
    const both = [label(100, 200), { ...label(500, 600), by: 'simulation' as const }];
    expect(stabScore(both, [150]).hit).toMatchObject({ k: 1, n: 2, byPerson: 1, byProgram: 1 });
  });
});

function isIn({ startUs, endUs }: GestureLabel, ms: number): boolean {
  return ms * 1000 >= startUs - EARLY_FIRE_MS * 1000 && ms * 1000 <= endUs + LATE_GESTURE_FIRE_MS * 1000;
}

/** Tries every way to give fires to gestures. */
function mostPairs(gestures: readonly GestureLabel[], firesMs: readonly number[]): number {
  const [first, ...others] = gestures;
  if (!first) return 0;
  let most = mostPairs(others, firesMs);
  firesMs.forEach((ms, i) => {
    if (isIn(first, ms))
      most = Math.max(most, 1 + mostPairs(others, [...firesMs.slice(0, i), ...firesMs.slice(i + 1)]));
  });
  return most;
}

test('for a sweep too, a fire at the very edge of a gesture is a further one, and at one that nobody confirmed none', () => {
  const match = new GestureMatch({
    gestures: [label(100, 200)],
    unconfirmed: [label(1000, 1100)],
    tellsOutside: true,
  });
  match.assign(Float64Array.of(49, 50, 150, 350, 351, 949, 950, 1250, 1251).map((ms) => 1000 * ms));
  expect([...match.fireUs]).toEqual([150_000]);
  expect(match.againUs).toEqual([50_000, 350_000]);
  expect(match.outsideUs).toEqual([49_000, 351_000, 949_000, 1_251_000]);
});
