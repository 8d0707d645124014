import { describe, expect, test } from 'vitest';
import type { DialSteps } from '../../../server/engine/detect/twistDial.ts';
import { EMPTY_LABELS, type LabelBy, type Labels } from '../../../server/engine/labels/labels.ts';
import { type DialScore, NO_DIAL, scoreDial, tellsOfDial } from '../../../server/engine/score/dialScore.ts';

const EARLY_FIRE_MS = 50;
const LATE_GESTURE_FIRE_MS = 150;

/** At 1000 Hz a sample is a millisecond. */
const timeUs = Float64Array.from({ length: 10_000 }, (_, i) => i * 1000);
const span = (startMs: number, endMs: number) => ({ startUs: startMs * 1000, endUs: endMs * 1000 });
const twist = (startMs: number, endMs: number, by: LabelBy = 'person') =>
  ({ ...span(startMs, endMs), kind: 'twist', by }) as const;
const spin = (startMs: number, endMs: number, by: LabelBy = 'person') =>
  ({ ...span(startMs, endMs), kind: 'spinning', by }) as const;
const labels = (gestures: Labels['gestures'], spans: Labels['spans'] = []): Labels => ({
  ...EMPTY_LABELS,
  spans,
  gestures: gestures ?? [],
});
const moves = (...pairs: [ms: number, steps: number][]): DialSteps[] =>
  pairs.map(([index, steps]) => ({ index, steps }));

describe('scoreDial', () => {
  const early = 1000 - EARLY_FIRE_MS;
  const late = 2000 + LATE_GESTURE_FIRE_MS;
  test.each<[string, Labels, DialSteps[], DialScore]>([
    [
      'steps at a twist are right, however many; up and down count alike',
      labels([twist(1000, 2000)]),
      moves([1200, 2], [1500, -3]),
      { steps: 5, outside: 0, spinning: null },
    ],
    [
      'steps at no twist are outside, each of them',
      labels([twist(1000, 2000)]),
      moves([1200, 1], [5000, 2], [6000, -1]),
      { steps: 4, outside: 3, spinning: null },
    ],
    [
      'as far from a twist as a fire may be is at it; a sample farther is not',
      labels([twist(1000, 2000)]),
      moves([early - 1, 1], [early, 1], [late, 1], [late + 1, 1]),
      { steps: 4, outside: 2, spinning: null },
    ],
    [
      'those in a labelled spin are told apart',
      labels([twist(1000, 2000)], [spin(4000, 7000)]),
      moves([1500, 1], [3900, 1], [4000, 2], [7000, -1], [7001, 1]),
      { steps: 6, outside: 5, spinning: 3 },
    ],
    [
      'a twist inside a spin is a twist',
      labels([twist(5000, 5500)], [spin(4000, 7000)]),
      moves([5200, 2], [6500, 1]),
      { steps: 3, outside: 1, spinning: 1 },
    ],
    [
      'without a twist labelled nothing is called outside, but in a spin the grip is not turned',
      labels([], [spin(4000, 7000)]),
      moves([1500, 1], [4500, 2]),
      { steps: 3, outside: null, spinning: 2 },
    ],
    [
      'a spin that only the program proposed tells nothing',
      labels([], [spin(4000, 7000, 'program')]),
      moves([4500, 2]),
      { steps: 2, outside: null, spinning: null },
    ],
    [
      'at a twist that only the program proposed a step is neither right nor wrong',
      labels([twist(1000, 2000), twist(5000, 5500, 'program')]),
      moves([5200, 2], [8000, 1]),
      { steps: 3, outside: 1, spinning: null },
    ],
    [
      'a simulation labels all it does: without a twist every step is outside',
      labels([], [spin(4000, 7000, 'simulation')]),
      moves([1500, 1], [4500, 2]),
      { steps: 3, outside: 3, spinning: 2 },
    ],
    ['a dial that stays is 0', labels([twist(1000, 2000)]), [], { steps: 0, outside: 0, spinning: null }],
  ])('%s', (_name, given, dial, expected) => expect(scoreDial(timeUs, dial, given)).toEqual(expected));

  test.each<[string, Labels, boolean]>([
    ['nothing', EMPTY_LABELS, false],
    ['a spin of the program’s', labels([], [spin(1, 2, 'program')]), false],
    ['a spin of a person’s', labels([], [spin(1, 2)]), true],
    ['a twist', labels([twist(1, 2)]), true],
  ])('labels of %s tell of the dial: %s', (_name, given, expected) => {
    expect(tellsOfDial(given)).toBe(expected);
    if (!expected) expect(scoreDial(timeUs, moves([5, 1]), given)).toEqual({ ...NO_DIAL, steps: 1 });
  });
});
