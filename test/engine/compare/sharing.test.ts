import { describe, expect, test } from 'vitest';
import { DEFAULT_CANDIDATE } from '../../../server/engine/candidateRules.ts';
import { type GuardGrid, sweepTake } from '../../../server/engine/choose/takeSweep.ts';
import { priceOfSharing } from '../../../server/engine/compare/sharing.ts';
import { EMPTY_LABELS } from '../../../server/engine/truth/labels.ts';
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
  return {
    ...sweepTake(rest, DEFAULT_CANDIDATE.guard, { speedsDps: SPEEDS, holdsMs: HOLDS }),
    strays,
    wanted,
    reversals,
    spinningS: 1,
    strayLetThrough: Int32Array.from(through),
    wantedRefused: Int32Array.from(refused),
    reversalsOpen: Int32Array.from(open),
    openShare: new Float64Array(CELLS).fill(0.25),
    waitMedianMs: Float64Array.from({ length: CELLS }, (_, i) => HOLDS[i % 2]! + 10),
  };
}

// Cells: 100/0 100/100 200/0 200/100 300/0 300/100.
const spinner = grid({ strays: 4, wanted: 4, through: [3, 0, 3, 2, 4, 4], refused: [0, 0, 0, 0, 0, 0] });
const beginner = grid({ strays: 4, wanted: 4, through: [0, 0, 0, 0, 0, 0], refused: [1, 3, 0, 1, 0, 0] });

describe('priceOfSharing', () => {
  test('two groups that want different settings: the shared one has fewest wrong in all, and each pays what it says', () => {
    const result = priceOfSharing([
      { group: 'spinner', grid: spinner },
      { group: 'beginner', grid: beginner },
    ]);
    if (result.kind !== 'shared') throw new Error(result.why);
    // Wrong in all: 4, 3, 3, 3, 4, 4 — three cells tie, of which 200/0 and its neighbours are most central.
    const cell = SPEEDS.indexOf(result.setting.speedDps) * 2 + HOLDS.indexOf(result.setting.holdMs);
    expect([3, 0, 3, 2, 4, 4][cell]! + [1, 3, 0, 1, 0, 0][cell]!).toBe(3);
    const [first, second] = result.rows;
    expect(first!.own).toMatchObject({
      speedDps: 100,
      holdMs: 100,
      outcome: { strays: { k: 0, n: 4 }, waitMs: 110 },
    });
    expect(second!.own!.outcome.wanted.k).toBe(0);
    expect(first!.price!.wrong + second!.price!.wrong).toBe(3);
    expect(result.wrong).toBe(3);
    expect(first!.price!.waitMs).toBe(first!.shared.waitMs! - 110);
  });

  test('no group ever does better shared than alone, and the prices add up', () => {
    const numbers = (most: number) => fc.array(fc.nat(most), { minLength: CELLS, maxLength: CELLS });
    const made = fc
      .tuple(numbers(5), numbers(5), numbers(9))
      .map(([through, refused, open]) =>
        grid({ strays: 5, wanted: 5, through, refused, reversals: 9, open }),
      );
    fc.assert(
      fc.property(fc.array(made, { minLength: 2, maxLength: 4 }), (grids) => {
        const result = priceOfSharing(grids.map((one, i) => ({ group: String(i), grid: one })));
        if (result.kind !== 'shared') throw new Error(result.why);
        let sum = 0;
        result.rows.forEach(({ own, shared, price }, i) => {
          const wrong = (cell: number) => grids[i]!.strayLetThrough[cell]! + grids[i]!.wantedRefused[cell]!;
          const least = Math.min(...Array.from({ length: CELLS }, (_, cell) => wrong(cell)));
          expect(own!.outcome.strays.k + own!.outcome.wanted.k).toBe(least);
          expect(price!.wrong).toBe(shared.strays.k + shared.wanted.k - least);
          expect(price!.wrong).toBeGreaterThanOrEqual(0);
          sum += price!.wrong;
        });
        expect(result.wrong).toBe(sum);
      }),
    );
  });

  test('takes of one group are taken together', () => {
    const result = priceOfSharing([
      { group: 'one', grid: spinner },
      { group: 'one', grid: beginner },
      { group: 'two', grid: beginner },
    ]);
    if (result.kind !== 'shared') throw new Error(result.why);
    expect(result.rows.map(({ name, shared }) => [name, shared.strays.n])).toEqual([
      ['one', 8],
      ['two', 4],
    ]);
  });

  test('a group without stray presses has no setting of its own, but pays attention to none either', () => {
    const calm = grid({
      strays: 0,
      wanted: 4,
      through: new Array(CELLS).fill(0),
      refused: [1, 3, 0, 1, 0, 0],
    });
    const result = priceOfSharing([
      { group: 'spinner', grid: spinner },
      { group: 'calm', grid: calm },
    ]);
    if (result.kind !== 'shared') throw new Error(result.why);
    expect(result.rows[1]).toMatchObject({
      own: null,
      price: null,
      why: 'no stray press: any guard is enough',
    });
  });

  test.each<[string, Parameters<typeof priceOfSharing>[0], string]>([
    ['one group', [{ group: 'one', grid: spinner }], 'one group only'],
    [
      'no stray press anywhere',
      ['a', 'b'].map((group) => ({
        group,
        grid: grid({
          strays: 0,
          wanted: 2,
          through: new Array(CELLS).fill(0),
          refused: new Array(CELLS).fill(0),
        }),
      })),
      'No stray press',
    ],
    [
      'no wanted press anywhere',
      ['a', 'b'].map((group) => ({
        group,
        grid: grid({
          strays: 2,
          wanted: 0,
          through: new Array(CELLS).fill(0),
          refused: new Array(CELLS).fill(0),
        }),
      })),
      'No wanted press',
    ],
  ])('%s is declined in words', (_name, takes, words) => {
    expect(priceOfSharing(takes)).toMatchObject({ kind: 'declined', why: expect.stringContaining(words) });
  });
});
