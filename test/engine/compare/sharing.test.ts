import { describe, expect, test } from 'vitest';
import { declineOn } from '../../../server/engine/choose/decline.ts';
import type { TakeEvidence } from '../../../server/engine/choose/evidence.ts';
import { GUARD } from '../../../server/engine/choose/guardProblem.ts';
import { type GuardGrid, sweepTake } from '../../../server/engine/choose/takeSweep.ts';
import { priceOfSharing, type SharingTake } from '../../../server/engine/compare/sharing.ts';
import { EMPTY_LABELS } from '../../../server/engine/labels/labels.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { declineWords } from '../../../server/engine/words/choose/declines.ts';
import { fakeSignals } from '../fakeSignals.ts';
import { fc } from '../properties.ts';

const SPEEDS = [100, 200, 300];
const HOLDS = [0, 100];
const CELLS = SPEEDS.length * HOLDS.length;

interface Made {
  readonly strays: number;
  readonly wanted: number;
  readonly through: readonly number[];
  readonly refused: readonly number[];
  readonly reversals?: number;
  readonly open?: readonly number[];
}

function grid({
  strays,
  wanted,
  through,
  refused,
  reversals = 0,
  open = new Array(CELLS).fill(0),
}: Made): GuardGrid {
  // All that is not given is as a take of rest leaves it.
  const signals = fakeSignals({ swingSpeedDps: new Float64Array(100) });
  const truth = { swings: [], spinning: [], reversals: [] };
  const rest = { id: '', title: '', performer: '', signals, presses: [], labels: EMPTY_LABELS, truth };
  const still = sweepTake(rest, DEFAULT_CANDIDATE.guard, { xs: SPEEDS, ys: HOLDS });
  return {
    ...still,
    sizes: { ...still.sizes, strays, wanted, reversals, spinningS: 1 },
    wrong: {
      ...still.wrong,
      strays: Int32Array.from(through),
      wanted: Int32Array.from(refused),
      reversals: Int32Array.from(open),
    },
    openShare: new Float64Array(CELLS).fill(0.25),
    timesMs: { waitMedianMs: Float64Array.from({ length: CELLS }, (_, i) => HOLDS[i % 2]! + 10) },
  };
}

/** A group's take, with as many presses in evidence as its grid counts. */
function take(group: string, its: GuardGrid, change: Partial<TakeEvidence> = {}): SharingTake {
  const { strays, wanted } = its.sizes;
  const by = { person: strays + wanted, program: 0, simulation: 0 };
  const counts = {
    strays,
    wanted,
    unlabelled: 0,
    unjudged: 0,
    proposedReversals: 0,
    contradictionsUs: [],
    by,
    unfit: null,
  };
  return { group, grid: its, evidence: { id: group, title: group, performer: group, ...counts, ...change } };
}

const NONE = new Array<number>(CELLS).fill(0);

// Cells: 100/0 100/100 200/0 200/100 300/0 300/100.
const spinner = grid({ strays: 16, wanted: 16, through: [3, 0, 3, 2, 4, 4], refused: [0, 0, 0, 0, 0, 0] });
const beginner = grid({ strays: 16, wanted: 16, through: [0, 0, 0, 0, 0, 0], refused: [1, 3, 0, 1, 0, 0] });

describe('priceOfSharing', () => {
  test('two groups that want different settings: the shared one has fewest wrong in all, and each pays what it says', () => {
    const result = priceOfSharing([take('spinner', spinner), take('beginner', beginner)]);
    if (result.kind !== 'shared') throw new Error(result.decline.kind);
    // Wrong in all: 4, 3, 3, 3, 4, 4: three cells tie.
    const cell = SPEEDS.indexOf(result.setting!.speedDps) * 2 + HOLDS.indexOf(result.setting!.holdMs);
    expect([3, 0, 3, 2, 4, 4][cell]! + [1, 3, 0, 1, 0, 0][cell]!).toBe(3);
    const [first, second] = result.rows;
    expect(first!.own).toMatchObject({
      speedDps: 100,
      holdMs: 100,
      outcome: { strays: { k: 0, n: 16 }, waitMs: 110 },
    });
    expect(second!.own!.outcome.wanted.k).toBe(0);
    expect(first!.price!.wrong + second!.price!.wrong).toBe(3);
    expect(result.wrong).toBe(3);
    expect(first!.price!.waitMs).toBe(first!.shared!.waitMs! - 110);
    // What is shared does worse for the one it was not made for: there is no room at all.
    expect(Math.min(...result.rows.map(({ price }) => price!.room.shared))).toBe(0);
    for (const { price } of result.rows) expect(price!.room.own).toBeGreaterThan(0);
  });

  test('no group ever does better shared than alone, and the prices add up', () => {
    const numbers = (most: number) => fc.array(fc.nat(most), { minLength: CELLS, maxLength: CELLS });
    const made = fc
      .tuple(numbers(5), numbers(5), numbers(9))
      .map(([through, refused, open]) =>
        grid({ strays: 20, wanted: 20, through, refused, reversals: 9, open }),
      );
    fc.assert(
      fc.property(fc.array(made, { minLength: 2, maxLength: 4 }), (grids) => {
        const result = priceOfSharing(grids.map((one, i) => take(String(i), one)));
        if (result.kind !== 'shared') throw new Error(result.decline.kind);
        let sum = 0;
        result.rows.forEach(({ own, shared, price }, i) => {
          const wrong = (cell: number) => grids[i]!.wrong.strays[cell]! + grids[i]!.wrong.wanted[cell]!;
          const least = Math.min(...Array.from({ length: CELLS }, (_, cell) => wrong(cell)));
          expect(own!.outcome.strays.k + own!.outcome.wanted.k).toBe(least);
          expect(price!.wrong).toBe(shared!.strays.k + shared!.wanted.k - least);
          expect(price!.wrong).toBeGreaterThanOrEqual(0);
          sum += price!.wrong;
        });
        expect(result.wrong).toBe(sum);
      }),
    );
  });

  test('takes of one group are taken together', () => {
    const result = priceOfSharing([take('one', spinner), take('one', beginner), take('two', beginner)]);
    if (result.kind !== 'shared') throw new Error(result.decline.kind);
    expect(result.rows.map(({ name, shared }) => [name, shared!.strays.n])).toEqual([
      ['one', 32],
      ['two', 16],
    ]);
  });

  test('a group with too few presses has no setting of its own, in the words of a suggestion that declines', () => {
    const few = grid({ strays: 3, wanted: 2, through: NONE, refused: NONE });
    const result = priceOfSharing([take('spinner', spinner), take('calm', few)]);
    if (result.kind !== 'shared') throw new Error(result.decline.kind);
    expect(result.rows[1]).toMatchObject({ own: null, price: null, shared: { strays: { n: 3 } } });
    expect(declineWords(result.rows[1]!.decline!).text).toBe(
      '3 stray presses and 2 wanted ones are too few to tell settings apart: it takes 5 of each.',
    );
    expect(result.rows[1]!.decline).toEqual(declineOn(GUARD, [take('calm', few).evidence]));
  });

  test('where no setting does well for all, each may still have its own', () => {
    const lax = grid({ strays: 20, wanted: 20, through: [20, 20, 20, 20, 0, 0], refused: NONE });
    const strict = grid({ strays: 20, wanted: 20, through: NONE, refused: [0, 0, 20, 20, 20, 20] });
    const result = priceOfSharing([take('lax', lax), take('strict', strict)]);
    if (result.kind !== 'shared') throw new Error(result.decline.kind);
    expect(result).toMatchObject({ setting: null, decline: { kind: 'contradictory' }, wrong: 0 });
    expect(result.rows.map(({ own, shared, price }) => [own?.speedDps, shared, price])).toEqual([
      [300, null, null],
      [100, null, null],
    ]);
  });

  const presses = (strays: number, wanted: number) => (group: string) =>
    take(group, grid({ strays, wanted, through: NONE, refused: NONE }));
  test.each<[string, readonly SharingTake[], string]>([
    ['one group', [take('one', spinner)], 'one group only'],
    ['no stray press anywhere', ['a', 'b'].map(presses(0, 9)), 'All 18 labelled presses are wanted'],
    ['no wanted press anywhere', ['a', 'b'].map(presses(9, 0)), 'All 18 labelled presses are stray'],
    [
      'too few in all',
      [presses(2, 1)('a'), presses(1, 1)('b')],
      '3 stray presses and 2 wanted ones are too few',
    ],
    [
      'a press labelled both ways',
      [take('a', spinner, { contradictionsUs: [1_500_000] }), take('b', spinner)],
      '1 press is labelled both wanted and stray',
    ],
  ])('%s is declined in words', (_name, takes, words) => {
    const result = priceOfSharing(takes);
    if (result.kind !== 'declined') throw new Error('it is priced');
    expect(declineWords(result.decline).text).toContain(words);
  });
});
