import { describe, expect, test } from 'vitest';
import type { MotionEvidence } from '../../../../server/engine/choose/motion/motionPart.ts';
import { suggestByMotion } from '../../../../server/engine/choose/motion/suggestByMotion.ts';
import type { GuardGrid } from '../../../../server/engine/choose/takeSweep.ts';

const SPEEDS = [100, 200, 300];
const HOLDS = [0, 100, 200, 300];

/** 10 spins and 10 stops; row by row of a speed, digit by digit of a hold. */
function gridOf(open: readonly string[], late: readonly string[]): GuardGrid {
  const counts = (rows: readonly string[]) => Int32Array.from([...rows.join('')].map(Number));
  const cells = SPEEDS.length * HOLDS.length;
  return {
    speedsDps: Float64Array.from(SPEEDS),
    holdsMs: Float64Array.from(HOLDS),
    strays: 10,
    wanted: 10,
    strayLetThrough: counts(open),
    wantedRefused: counts(late),
    openShare: new Float64Array(cells),
    spinningS: 40,
    stops: 10,
    waitMedianMs: new Float64Array(cells),
    waitP95Ms: new Float64Array(cells),
    reversals: 0,
    reversalsOpen: new Int32Array(cells),
    quietS: 0,
    quietClosedS: new Float64Array(cells),
  };
}

const evidence = (change: Partial<MotionEvidence> = {}): MotionEvidence => ({
  id: 't',
  title: 'Long spin',
  performer: 'one',
  spins: 10,
  stops: 10,
  isConfirmed: true,
  waiting: { spins: 0, stops: 0 },
  unfit: null,
  ...change,
});

const GOOD = gridOf(['9200', '9200', '9920'], ['0007', '0007', '0007']);

test('the setting that leaves no spin open and no stop late is suggested', () => {
  expect(suggestByMotion(GOOD, [evidence()])).toMatchObject({
    kind: 'suggestion',
    holdMs: 200,
    strayLetThrough: { k: 0, n: 10 },
    wantedRefused: { k: 0, n: 10 },
  });
});

describe('it declines, and says what to confirm or record', () => {
  const bad = gridOf(['9999', '9999', '9999'], ['0000', '0000', '0000']);
  test.each<[string, GuardGrid, MotionEvidence[], string, RegExp]>([
    [
      'takes that are unfit',
      GOOD,
      [evidence({ unfit: 'it holds no motion' })],
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
      [evidence({ isConfirmed: false, waiting: { spins: 10, stops: 9 } })],
      'unconfirmed',
      /Long spin: 10 proposed spins and 9 proposed stops.*Tune/,
    ],
    ['too few spins', GOOD, [evidence({ spins: 4 })], 'tooFew', /Record 1 more spin or more/],
    ['too few stops', GOOD, [evidence({ stops: 2 })], 'tooFew', /Record 3 more stops or more/],
    [
      'too few, and some to confirm',
      GOOD,
      [evidence({ stops: 2, waiting: { spins: 0, stops: 8 } })],
      'tooFew',
      /8 proposed stops.*confirm its swings/,
    ],
    ['no setting good enough', bad, [evidence()], 'noneGood', /patience/],
  ])('%s', (_name, grid, takes, kind, advice) => {
    const choice = suggestByMotion(grid, takes);
    if (choice.kind !== 'declined') throw new Error('it suggests');
    expect(choice.decline.kind).toBe(kind);
    expect(choice.decline.advice.join(' ')).toMatch(advice);
  });

  test('a quarter of the spins open is still a suggestion, more is none', () => {
    const of = (open: number) =>
      suggestByMotion(gridOf(Array(3).fill(String(open).repeat(4)), Array(3).fill('0000')), [evidence()])
        .kind;
    expect([of(2), of(3)]).toEqual(['suggestion', 'declined']);
  });
});
