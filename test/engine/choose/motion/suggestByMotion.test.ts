import { describe, expect, test } from 'vitest';
import { MOTION, type MotionEvidence } from '../../../../server/engine/choose/motion/motionProblem.ts';
import { suggest } from '../../../../server/engine/choose/suggest.ts';
import type { GuardGrid } from '../../../../server/engine/choose/takeSweep.ts';
import { declined } from '../declined.ts';

const SPEEDS = [100, 200, 300];
const HOLDS = [0, 100, 200, 300];

/** 10 spins and 10 stops; row by row of a speed, digit by digit of a hold. */
function gridOf(open: readonly string[], late: readonly string[]): GuardGrid {
  const counts = (rows: readonly string[]) => Int32Array.from([...rows.join('')].map(Number));
  const cells = SPEEDS.length * HOLDS.length;
  return {
    xs: Float64Array.from(SPEEDS),
    ys: Float64Array.from(HOLDS),
    sizes: { strays: 10, wanted: 10, reversals: 0, quietS: 0, spinningS: 40, stops: 10 },
    wrong: {
      strays: counts(open),
      wanted: counts(late),
      reversals: new Int32Array(cells),
      quietS: new Float64Array(cells),
    },
    openShare: new Float64Array(cells),
    timesMs: { waitMedianMs: new Float64Array(cells) },
  };
}

const evidence = (change: Partial<MotionEvidence> = {}): MotionEvidence => ({
  id: 't',
  title: 'Long spin',
  performer: 'one',
  spins: 10,
  stops: 10,
  isConfirmed: true,
  waitingSpins: 0,
  waitingStops: 0,
  unfit: null,
  ...change,
});

const GOOD = gridOf(['9200', '9200', '9920'], ['0007', '0007', '0007']);

test('the setting that leaves no spin open and no stop late is suggested', () => {
  expect(suggest(MOTION, GOOD, [evidence()])).toMatchObject({
    kind: 'suggestion',
    y: 200,
    wrong: { strays: { k: 0, n: 10 }, wanted: { k: 0, n: 10 } },
  });
});

describe('it declines, and says what to confirm or record', () => {
  const bad = gridOf(['9999', '9999', '9999'], ['0000', '0000', '0000']);
  test.each<[string, GuardGrid, MotionEvidence[], string, RegExp]>([
    [
      'takes that are unfit',
      GOOD,
      [evidence({ unfit: { kind: 'noMotion' } })],
      'unfit',
      /Long spin: it holds no motion/,
    ],
    [
      'nothing to judge by',
      GOOD,
      [evidence({ spins: 0, stops: 0, isConfirmed: false })],
      'noMotion',
      /come to a full stop/,
    ],
    [
      'nothing confirmed',
      GOOD,
      [evidence({ spins: 0, stops: 0, isConfirmed: false, waitingSpins: 10, waitingStops: 9 })],
      'unconfirmed',
      /Long spin: 10 proposed spins and 9 proposed stops.*Tune/,
    ],
    ['too few spins', GOOD, [evidence({ spins: 4 })], 'tooFew', /Record 1 more spin or more/],
    ['too few stops', GOOD, [evidence({ stops: 2 })], 'tooFew', /Record 3 more stops or more/],
    [
      'too few, and some to confirm',
      GOOD,
      [evidence({ stops: 2, waitingStops: 8 })],
      'tooFew',
      /8 proposed stops.*confirm its swings/,
    ],
    ['no setting good enough', bad, [evidence()], 'noneGood', /patience/],
  ])('%s', (_name, grid, takes, kind, advice) => {
    const words = declined(MOTION, grid, takes)!;
    expect(words.kind).toBe(kind);
    expect(words.advice.join(' ')).toMatch(advice);
  });

  test('a quarter of the spins open is still a suggestion, more is none', () => {
    const of = (open: number) =>
      suggest(MOTION, gridOf(Array(3).fill(String(open).repeat(4)), Array(3).fill('0000')), [evidence()])
        .kind;
    expect([of(2), of(3)]).toEqual(['suggestion', 'declined']);
  });
});
