import { describe, expect, test } from 'vitest';
import { gestureCost, joinGrids, suggestGesture } from '../../../../server/engine/choose/gestures/choice.ts';
import { chooseGesture } from '../../../../server/engine/choose/gestures/chooseGesture.ts';
import { LEAST_GESTURES } from '../../../../server/engine/choose/gestures/declines.ts';
import type { GestureEvidence } from '../../../../server/engine/choose/gestures/evidence.ts';
import { GESTURE_MAPS, gestureMap, withXY } from '../../../../server/engine/choose/gestures/maps.ts';
import type { GestureGrid } from '../../../../server/engine/choose/gestures/take.ts';
import { tightText } from '../../../../server/engine/choose/gestures/words.ts';
import { DEFAULT_CANDIDATE, validateCandidate } from '../../../../server/engine/settings/candidateRules.ts';
import { drawnTake, gridOf } from './drawnTakes.ts';

/** A grid as drawn, a row for each y from the highest down, a digit for each x: gestures missed. */
function drawnGrid(rows: readonly string[], change: Partial<GestureGrid> = {}): GestureGrid {
  const ys = rows.length;
  const xs = rows[0]!.length;
  const cells = Array.from({ length: xs * ys }, (_, cell) =>
    Number(rows[ys - 1 - (cell % ys)]![Math.floor(cell / ys)]),
  );
  return {
    xs: Float64Array.from({ length: xs }, (_, i) => 1 + i),
    ys: Float64Array.from({ length: ys }, (_, i) => 10 + 10 * i),
    gestures: 20,
    others: 30,
    outsideS: 60,
    missed: Int32Array.from(cells),
    again: new Int32Array(cells.length),
    outside: new Int32Array(cells.length),
    delayMedianMs: new Float64Array(cells.length).fill(40),
    ...change,
  };
}

const ROOMY = ['9999999', '9000009', '9000009', '9000009', '9000009', '9000009', '9999999'];

const fit: GestureEvidence = {
  id: 'a',
  title: 'A',
  performer: 'one',
  gestures: 20,
  by: { person: 20, program: 0, simulation: 0 },
  unconfirmed: 0,
  proposed: 0,
  others: 30,
  outsideS: 60,
  contradictionsUs: [],
  unfit: null,
};

describe('what is chosen', () => {
  test('a setting with room to all sides, its counts, and how far it stays as good', () => {
    const choice = chooseGesture('stab', drawnGrid(ROOMY), [fit]);
    if (choice.kind !== 'suggestion') throw new Error('nothing is suggested');
    expect(choice).toMatchObject({ map: 'stab', gestures: 20, again: 0, outside: 0 });
    expect(choice.missed).toMatchObject({ k: 0, n: 20 });
    expect(choice.delayMs).toBe(40);
    expect(choice.plateau.xMargin).toMatchObject({
      low: 2,
      high: 6,
      reachesLowEnd: false,
      reachesHighEnd: false,
    });
    expect(choice.plateau.yMargin).toMatchObject({ low: 20, high: 60 });
    expect(choice.plateau.room).toBeGreaterThan(0.2);
  });

  test('a fire again or outside weighs as much as a gesture missed', () => {
    const none = drawnGrid(['00']);
    const one = (name: 'missed' | 'again' | 'outside') =>
      gestureCost({ ...none, [name]: Int32Array.of(1, 0) });
    for (const name of ['missed', 'again', 'outside'] as const) expect([...one(name)]).toEqual([1, 0]);
  });

  test('one wrong in fifty and more is a step: with 200 gestures, 3 more wrong are none, 4 are', () => {
    const grid = drawnGrid(['0346'], { gestures: 200 });
    expect([...gestureCost(grid)]).toEqual([0, 0, 1, 1]);
  });

  test('where the best has next to no room, one more wrong is accepted for enough of it, and told', () => {
    // none wrong at one setting of 21 alone, one wrong from 8 to 15
    const rows = Array.from({ length: 5 }, () => '999999911111111199999');
    const spiked = rows.map((row, i) => (i === 2 ? `${row.slice(0, 14)}0${row.slice(15)}` : row));
    const suggestion = suggestGesture('impact', drawnGrid(spiked));
    expect(suggestion).toMatchObject({ fewestWrong: 0, missed: { k: 1 } });
    expect(suggestion.plateau.room).toBeGreaterThan(0.2);
    expect(suggestion.plateau.xMargin).toMatchObject({ low: 8, high: 16 });
    expect(tightText(suggestion)).toBe(
      'None wrong can be had, but by no setting that can change by more than 6 %: here 1 more is wrong.',
    );
    // with a little more room, the best stands
    const broad = rows.map((row) => `${row.slice(0, 11)}00000${row.slice(16)}`);
    const best = suggestGesture('impact', drawnGrid(broad));
    expect(best).toMatchObject({ fewestWrong: 0, missed: { k: 0 }, plateau: { tightRoom: null } });
    expect(tightText(best)).toBe('');
    // and where one more wrong gives no room either
    const narrow = rows.map((_, i) => (i === 2 ? '999999999999990999999' : '999999999999999999999'));
    expect(suggestGesture('impact', drawnGrid(narrow))).toMatchObject({
      missed: { k: 0 },
      plateau: { tightRoom: null },
    });
  });

  test('sums add counts up and keep the longest delay; over other settings they are refused', () => {
    const a = drawnGrid(['01'], { delayMedianMs: Float64Array.of(Number.NaN, 30) });
    const b = drawnGrid(['21'], { delayMedianMs: Float64Array.of(50, 20), outside: Int32Array.of(0, 4) });
    const sum = joinGrids(a, b);
    expect([...sum.missed]).toEqual([2, 2]);
    expect([...sum.outside]).toEqual([0, 4]);
    expect([...sum.delayMedianMs]).toEqual([50, 30]);
    expect(sum).toMatchObject({ gestures: 40, others: 60, outsideS: 120 });
    expect(() => joinGrids(a, drawnGrid(['012']))).toThrow(/over different settings/);
  });

  test.each(GESTURE_MAPS)(
    'every value that the page tries for %s is one that a candidate may have',
    (kind) => {
      const { x, y } = gestureMap(kind);
      for (const values of [x.values, y.values]) {
        const steps = values.slice(1).map((value, i) => value - values[i]!);
        expect(Math.max(...steps) - Math.min(...steps)).toBeLessThan(1e-9);
      }
      for (const [a, b] of [
        [x.values[0]!, y.values[0]!],
        [x.values.at(-1)!, y.values.at(-1)!],
      ] as const)
        validateCandidate({ ...DEFAULT_CANDIDATE, ...withXY(DEFAULT_CANDIDATE, kind, a, b) });
    },
  );
});

describe('what is declined', () => {
  const record = /^Record thrusts into a pad as you do on stage/;
  test.each<[string, readonly GestureEvidence[], string, RegExp, (string | RegExp)[]]>([
    ['no take', [], 'unfit', /No take is chosen/, []],
    [
      'all takes unfit',
      [{ ...fit, unfit: 'it holds no motion' }],
      'unfit',
      /Nothing can be chosen on this take/,
      ['A: it holds no motion.'],
    ],
    [
      'no label',
      [{ ...fit, gestures: 0, others: 0 }],
      'noLabels',
      /^No thrust is labelled in this take\.$/,
      [record],
    ],
    [
      'proposals that nobody has confirmed',
      [fit, fit].map((take) => ({ ...take, gestures: 0, others: 0, unconfirmed: 1, proposed: 3 })),
      'noLabels',
      /^No thrust is labelled in these takes\.$/,
      ['Open Tune and look at 8 thrusts that are proposed there: confirm those that are real.'],
    ],
    [
      'labels that contradict one another',
      [{ ...fit, contradictionsUs: [3_000_000] }],
      'contradictory',
      /1 labelled thrust lies where the labels say that the blade is still/,
      ['A: decide on the thrust at 3.0 s.'],
    ],
    [
      'thrusts alone',
      [{ ...fit, others: LEAST_GESTURES - 1 }],
      'oneClass',
      /^Beside 20 labelled thrusts there are 4 other movements to tell them from, and it takes 5/,
      [/^Only takes with a labelled thrust tell what is none/, record],
    ],
    [
      'too few',
      [{ ...fit, gestures: LEAST_GESTURES - 1, proposed: 1 }],
      'tooFew',
      /^4 labelled thrusts are too few to tell settings apart: it takes 5\.$/,
      [/look at 1 thrust that is proposed/, 'Record 1 more thrust or more.', record],
    ],
    [
      'gestures in an unfit take do not count',
      [
        { ...fit, gestures: 1 },
        { ...fit, unfit: 'x' },
      ],
      'tooFew',
      /^1 labelled thrust is too few/,
      ['Record 4 more thrusts or more.', record],
    ],
  ])('%s', (_name, evidence, kind, text, advice) => {
    const choice = chooseGesture('stab', drawnGrid(ROOMY), evidence);
    if (choice.kind !== 'declined') throw new Error('nothing is declined');
    expect(choice.decline.kind).toBe(kind);
    expect(choice.decline.text).toMatch(text);
    expect(choice.decline.advice).toHaveLength(advice.length);
    choice.decline.advice.forEach((said, i) => {
      const wanted = advice[i]!;
      if (typeof wanted === 'string') expect(said).toBe(wanted);
      else expect(said).toMatch(wanted);
    });
  });

  test('where the best of all settings is still wrong for more than 1 gesture in 4, whichever way', () => {
    const even = (name: 'missed' | 'again' | 'outside', count: number) =>
      chooseGesture('twist', { ...drawnGrid(['00', '00']), [name]: new Int32Array(4).fill(count) }, [fit]);
    for (const name of ['missed', 'again', 'outside'] as const) {
      expect(even(name, 5).kind).toBe('suggestion');
      expect(even(name, 6)).toMatchObject({ kind: 'declined', decline: { kind: 'noneGood' } });
    }
  });

  test('one performer at a time is advised only where several have labelled gestures', () => {
    const advice = (performers: readonly string[], bare: string) => {
      const evidence = performers.map((performer) => ({ ...fit, performer }));
      const silent = { ...fit, performer: bare, gestures: 0 };
      const choice = chooseGesture('twist', drawnGrid(['99', '99']), [...evidence, silent]);
      return choice.kind === 'declined' ? choice.decline.advice.join() : '';
    };
    expect(advice(['one', 'other'], 'one')).toMatch(/one performer’s takes at a time/);
    expect(advice(['one', 'one'], 'other')).toMatch(/Check the labels/);
    expect(advice(['one', 'one'], 'other')).not.toMatch(/at a time/);
  });
});

test.each(GESTURE_MAPS)(
  'on drawn takes, no setting of %s does better than the one suggested, but for the sake of room',
  (kind) => {
    for (let seed = 0; seed < 12; seed += 3) {
      const grid = [0, 1, 2].map((k) => gridOf(drawnTake(seed + k), kind)).reduce(joinGrids);
      const { cell, missed, again, outside, plateau, fewestWrong } = suggestGesture(kind, grid);
      const wrong = (i: number) => grid.missed[i]! + grid.again[i]! + grid.outside[i]!;
      expect(missed.k + again + outside).toBe(wrong(cell));
      expect(wrong(cell) - fewestWrong).toBeLessThanOrEqual(plateau.tightRoom === null ? 0 : 1);
      expect(fewestWrong).toBe(Math.min(...grid.missed.map((_, i) => wrong(i))));
    }
  },
);
