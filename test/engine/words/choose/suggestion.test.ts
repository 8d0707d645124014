import { describe, expect, test } from 'vitest';
import type { Border, Lost } from '../../../../server/engine/choose/borders.ts';
import type { SwingEvidence } from '../../../../server/engine/choose/deflectionProblem.ts';
import { DEFLECTION } from '../../../../server/engine/choose/deflectionProblem.ts';
import type { GestureEvidence } from '../../../../server/engine/choose/gestures/evidence.ts';
import { GESTURE_PROBLEMS } from '../../../../server/engine/choose/gestures/gestureProblems.ts';
import type { GestureGrid } from '../../../../server/engine/choose/gestures/take.ts';
import type { ProblemKind } from '../../../../server/engine/choose/problem.ts';
import { suggestOn } from '../../../../server/engine/choose/suggest.ts';
import { sumGrids } from '../../../../server/engine/sweep/grid.ts';
import { gestureBasis, leftOutText, swingBasis } from '../../../../server/engine/words/choose/basis.ts';
import { PROBLEM_WORDS } from '../../../../server/engine/words/choose/problems.ts';
import { borderText, claimTexts, marginTexts } from '../../../../server/engine/words/choose/suggestion.ts';
import { wrongGesture, wrongSwing } from '../../../../server/engine/words/choose/wrong.ts';
import { deflectionGrid } from '../../choose/drawnProblems.ts';
import { drawnTake } from '../../choose/drawnTake.ts';

/** Good in the middle column alone, or everywhere. */
function gestureGrid(isEven: boolean, ys = [0, 20, 40]): GestureGrid {
  const missed = Int32Array.from({ length: 9 }, (_, i) => (isEven || Math.floor(i / 3) === 1 ? 0 : 9));
  const none = new Int32Array(9);
  return {
    xs: Float64Array.of(0.5, 1, 1.5),
    ys: Float64Array.from(ys),
    sizes: { gestures: 20, others: 30, outsideS: 60 },
    wrong: { missed, again: none, outside: none },
    timesMs: { delayMedianMs: new Float64Array(9) },
  };
}

describe('margins', () => {
  test('name both settings, and what is but the end of what was tried', () => {
    const { stab, twist } = GESTURE_PROBLEMS;
    const [x, y] = marginTexts('stab', suggestOn(stab, gestureGrid(false)));
    expect(x).toMatch(/^As good for a thrust of 1 to 1 g at a quiet time of \d+ ms\.$/);
    expect(y).toBe(
      'As good for a quiet time of 0 to 40 ms at a thrust of 1 g. 40 ms is the most tried, no margin.',
    );
    const [wideX, wideY] = marginTexts('twist', suggestOn(twist, gestureGrid(true, [10, 20, 30])));
    expect(wideX).toMatch(
      /a turn of 0\.5 to 1\.5° at a time of \d+ ms\. 0\.5° is the least tried, no margin\. 1\.5° is the most/,
    );
    expect(wideY).toMatch(/a time of 10 to 30 ms at a turn of [\d.]+°\. 10 ms is the least tried/);
  });

  const grid = sumGrids([deflectionGrid(drawnTake(2)), deflectionGrid(drawnTake(3))]);
  test('of the deflection: a ratio has no end above', () => {
    const suggestion = suggestOn(DEFLECTION, grid);
    const { xMargin, yMargin } = suggestion.plateau;
    const [speed, rearm] = marginTexts('deflection', suggestion);
    expect(speed).toContain(`from ${xMargin.low} to ${xMargin.high} °/s at a re-arm of ${suggestion.y}`);
    expect(rearm).toContain(`for a re-arm of ${yMargin.low} to ${yMargin.high} at ${suggestion.x} °/s`);
    const ends = { ...yMargin, low: 0.1, high: 1, reachesLowEnd: true, reachesHighEnd: true };
    const wide = { ...suggestion, plateau: { ...suggestion.plateau, yMargin: ends } };
    expect(marginTexts('deflection', wide)[1]).toMatch(/°\/s.*\. 0\.1 is the least tried, no margin\.$/);
  });

  test('a plateau that lets one more in fifty go wrong says so', () => {
    const all = (of: (cell: number) => number) => grid.wrong.missed.map((_, cell) => of(cell));
    const even = { missed: all(() => 0), twice: all(() => 0), outside: all(() => 0) };
    const chosen = (wrong: typeof even) => suggestOn(DEFLECTION, { ...grid, sizes: { swings: 60 }, wrong });
    expect(marginTexts('deflection', chosen(even)).join()).not.toContain('more of');
    const fastest = grid.xs.length - 1;
    const odd = all((cell) => (Math.floor(cell / grid.ys.length) === fastest ? 1 : 0));
    const uneven = chosen({ ...even, missed: odd });
    expect(uneven.plateau.xMargin.high).toBe(600);
    const [speed, rearm] = marginTexts('deflection', uneven);
    expect(speed).toMatch(
      /, with at most 1 more of 60 going wrong\. 600 °\/s is the fastest tried, no margin: /,
    );
    expect(rearm).not.toContain('more of');
  });
});

describe('borders', () => {
  const border: Border = {
    axis: 'x',
    by: 1,
    last: 1.5,
    beyond: 1.6,
    worse: { missed: 1, again: 0, outside: 0 },
  };
  const lost: Lost = { axis: 'x', by: 1, part: 'missed', atUs: 24_400_000, takeId: 'a', title: 'A' };
  const end = { beyond: null, worse: { missed: 0, again: 0, outside: 0 } };
  test.each<[ProblemKind, Partial<Border>, readonly Lost[], string | RegExp]>([
    ['stab', {}, [lost], 'Above a thrust of 1.5 g: 1 more thrust would be missed (A, 24.4 s).'],
    [
      'impact',
      { by: -1, worse: { missed: 0, again: 2, outside: 3 } },
      [],
      'Below a level of 1.5 g: 2 more hits would fire again, 3 more impacts would come outside any hit.',
    ],
    [
      'guard',
      { by: -1, last: 190, worse: { strays: 2, wanted: 1, reversals: 1, quietS: 1.25 } },
      [{ ...lost, by: -1, part: 'wanted' }],
      'Below 190 °/s: 2 stray presses would be let through, 1 wanted press would be refused, 1 more reversal would be open, 1.3 s more of quiet time would be closed (A, 24.4 s).',
    ],
    [
      'motion',
      { axis: 'y', last: 300, worse: { strays: 0, wanted: 2, reversals: 0, quietS: 0 } },
      [],
      'Above 300 ms: 2 stops would be late.',
    ],
    [
      'deflection',
      { axis: 'y', last: 0.6, worse: { missed: 0, twice: 1, outside: 0 } },
      [],
      'Above a re-arm of 0.6: 1 more swing would fire twice.',
    ],
    [
      'twist',
      { ...end, last: 180 },
      [],
      'Above a turn of 180° nothing was tried: no twist here speaks against it.',
    ],
    [
      'stab',
      { ...end, by: -1, last: 0.2 },
      [],
      'Below a thrust of 0.2 g nothing was tried: no stab here speaks against it.',
    ],
    ['stab', { ...end, axis: 'y', by: -1, last: 0 }, [], 'Even a quiet time of 0 ms does as well here.'],
    ['deflection', { ...end, by: -1, last: 90 }, [], /^Below 90 °\/s is no swing/],
    ['deflection', { ...end, last: 800 }, [], 'Above 800 °/s nothing was tried.'],
    ['deflection', { ...end, axis: 'y', by: -1, last: 0.1 }, [], /^Below a re-arm of 0.1 nothing was tried/],
    ['deflection', { ...end, axis: 'y', last: 1 }, [], /^Even a re-arm of 1 does as well/],
    ['guard', { ...end, by: -1, last: 90 }, [], /wanted presses in a brisk carry might\.$/],
    ['motion', { ...end, axis: 'y', last: 600 }, [], /no stop here tells how long the hold may be\.$/],
  ])('of %s %o', (kind, change, found, text) => {
    const told = borderText(kind, { ...border, ...change }, found);
    if (typeof text === 'string') expect(told).toBe(text);
    else expect(told).toMatch(text);
  });
});

test.each([
  ['missed', 'the hit at 1.5 s of A is missed.'],
  ['again', 'the impact at 1.5 s of A is a second one for the same hit.'],
  ['outside', 'the impact at 1.5 s of A lies outside any hit.'],
] as const)('what is wrong even so of a hit: %s', (part, text) => {
  expect(wrongGesture('impact', { part, atUs: 1_500_000, takeId: 'a', title: 'A', why: null })).toBe(text);
});

test.each([
  ['missed', 'the swing at 1.5 s of A is missed.'],
  ['twice', 'the swing at 1.5 s of A fires twice or more.'],
  ['outside', 'a fire at 1.5 s of A lies outside any swing.'],
] as const)('what is wrong even so of a swing: %s', (part, text) => {
  expect(wrongSwing({ part, atUs: 1_500_000, takeId: 'a', title: 'A', why: null })).toBe(text);
});

// Wilson, 95 %: 55 of 333 gives 0.129 to 0.209, 1 of 6 gives 0.030 to 0.564 [recomputed]
test.each([
  [55, 333, /^55 of 333 swings are missed or doubled, surely more than 1 in 20/],
  [1, 6, /^87 more swings \(93 in all\), no more than the 1 above /],
  [0, 59, /^Enough swings to claim that less than 1 in 20/],
])('%d of %d: what may be claimed, and what never will be', (k, n, text) => {
  const wrong = { missed: { k: 0, n }, twice: { k, n }, outside: { k: 9, n } };
  expect(claimTexts('deflection', { wrong })[0]).toMatch(text);
});

describe('whose labels the counts rest on', () => {
  const named = { id: 'a', title: 'A', performer: '', contradictionsUs: [], unfit: null, outsideS: 30.4 };
  test('swings that nobody confirmed are told apart', () => {
    const take: SwingEvidence = {
      ...named,
      swings: 10,
      unwanted: 0,
      by: { person: 1, program: 9, simulation: 0 },
    };
    const all = [take, { ...take, title: 'B', unfit: { kind: 'noMotion' as const } }];
    expect(`${swingBasis(all)}${leftOutText(all)}`).toBe(
      'Rests on 1 swing labelled by a person, 9 proposed by the program and not confirmed, and 30 s outside any swing. Left out as unfit: B (it holds no motion).',
    );
  });

  test('gestures: which are proposed, and which takes say nothing', () => {
    const take: GestureEvidence = {
      ...named,
      gestures: 6,
      by: { person: 5, program: 0, simulation: 1 },
      unconfirmed: 2,
      proposed: 3,
      others: 9,
    };
    const none = { person: 0, program: 0, simulation: 0 };
    const silent = { ...take, gestures: 0, by: none, unconfirmed: 0, others: 0, outsideS: 0 };
    expect(gestureBasis('stab', [take, silent, { ...take, unfit: { kind: 'noMotion' } }])).toBe(
      'Rests on 5 thrusts labelled by a person, 1 by the simulation, and 9 other movements in 30 s at which it is to keep silent. 2 thrusts that only the program has labelled count for nothing. In Tune 3 more thrusts are proposed: until somebody confirms them, a stab there counts as false. 1 take holds no labelled thrust and so says nothing of a false stab.',
    );
  });
});

test.each([
  ['stab', '0.9 g after 20 ms of quiet', '0.9 g · 20 ms'],
  ['impact', '0.9 g, rising 20 g per 100\u00a0°/s', '0.9 g · 20 g'],
  ['twist', '0.9° within 20 ms', '0.9° · 20 ms'],
] as const)('a setting of %s, and in a table', (kind, text, brief) => {
  expect(PROBLEM_WORDS[kind].setting(0.9, 20)).toBe(text);
  expect(PROBLEM_WORDS[kind].brief(0.9, 20)).toBe(brief);
});
