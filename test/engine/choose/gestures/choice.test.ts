import { describe, expect, test } from 'vitest';
import type { GestureEvidence } from '../../../../server/engine/choose/gestures/evidence.ts';
import { GESTURE_PROBLEMS } from '../../../../server/engine/choose/gestures/gestureProblems.ts';
import { GESTURE_MAPS, gestureMap, withXY } from '../../../../server/engine/choose/gestures/maps.ts';
import type { GestureGrid } from '../../../../server/engine/choose/gestures/take.ts';
import { suggest, suggestOn } from '../../../../server/engine/choose/suggest.ts';
import { DEFAULT_CANDIDATE, validateCandidate } from '../../../../server/engine/settings/candidateRules.ts';
import type { GesturePart } from '../../../../server/engine/sweep/gestureSweep.ts';
import { sumGrids } from '../../../../server/engine/sweep/grid.ts';
import { tightText } from '../../../../server/engine/words/choose/suggestion.ts';
import { declined } from '../declined.ts';

const { stab, impact, twist } = GESTURE_PROBLEMS;
const PARTS: readonly GesturePart[] = ['missed', 'again', 'outside'];

/** A grid as drawn, a row for each y from the highest down, a digit for each x: gestures missed. */
function drawnGrid(rows: readonly string[], change: Partial<GestureGrid['wrong']> = {}): GestureGrid {
  const ys = rows.length;
  const xs = rows[0]!.length;
  const cells = Array.from({ length: xs * ys }, (_, cell) =>
    Number(rows[ys - 1 - (cell % ys)]![Math.floor(cell / ys)]),
  );
  return {
    xs: Float64Array.from({ length: xs }, (_, i) => 1 + i),
    ys: Float64Array.from({ length: ys }, (_, i) => 10 + 10 * i),
    sizes: { gestures: 20, others: 30, outsideS: 60 },
    wrong: {
      missed: Int32Array.from(cells),
      again: new Int32Array(cells.length),
      outside: new Int32Array(cells.length),
      ...change,
    },
    timesMs: { delayMedianMs: new Float64Array(cells.length).fill(40) },
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
    const choice = suggest(stab, drawnGrid(ROOMY), [fit]);
    if (choice.kind !== 'suggestion') throw new Error('nothing is suggested');
    expect(choice.wrong).toEqual({
      missed: { k: 0, n: 20 },
      again: { k: 0, n: 20 },
      outside: { k: 0, n: 60 },
    });
    expect(choice.timesMs).toEqual({ delayMedianMs: 40 });
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
    for (const part of PARTS)
      expect([...stab.cost(drawnGrid(['00'], { [part]: Int32Array.of(1, 0) }), 0)]).toEqual([1, 0]);
  });

  test('one wrong in fifty and more is a step: with 200 gestures, 3 more wrong are none, 4 are', () => {
    const sizes = { gestures: 200, others: 30, outsideS: 60 };
    expect([...stab.cost({ ...drawnGrid(['0346']), sizes }, 0)]).toEqual([0, 0, 1, 1]);
  });

  test('where the best has next to no room, one more wrong is accepted for enough of it, and told', () => {
    // none wrong at one setting of 21 alone, one wrong from 8 to 15
    const rows = Array.from({ length: 5 }, () => '999999911111111199999');
    const spiked = rows.map((row, i) => (i === 2 ? `${row.slice(0, 14)}0${row.slice(15)}` : row));
    const suggestion = suggestOn(impact, drawnGrid(spiked));
    expect(suggestion).toMatchObject({ fewestWrong: 0, wrong: { missed: { k: 1 } } });
    expect(suggestion.plateau.room).toBeGreaterThan(0.2);
    expect(suggestion.plateau.xMargin).toMatchObject({ low: 8, high: 16 });
    expect(tightText('impact', suggestion)).toBe(
      'None wrong can be had, but by no setting that can change by more than 6 %: here 1 more is wrong.',
    );
    // with a little more room, the best stands
    const broad = rows.map((row) => `${row.slice(0, 11)}00000${row.slice(16)}`);
    const best = suggestOn(impact, drawnGrid(broad));
    expect(best).toMatchObject({ fewestWrong: 0, wrong: { missed: { k: 0 } }, plateau: { tightRoom: null } });
    expect(tightText('impact', best)).toBe('');
    // and where one more wrong gives no room either
    const narrow = rows.map((_, i) => (i === 2 ? '999999999999990999999' : '999999999999999999999'));
    expect(suggestOn(impact, drawnGrid(narrow))).toMatchObject({
      wrong: { missed: { k: 0 } },
      plateau: { tightRoom: null },
    });
  });

  test('sums add counts up and keep the longest delay; over other settings they are refused', () => {
    const delays = (a: number, b: number) => ({ timesMs: { delayMedianMs: Float64Array.of(a, b) } });
    const a = { ...drawnGrid(['01']), ...delays(Number.NaN, 30) };
    const b = { ...drawnGrid(['21'], { outside: Int32Array.of(0, 4) }), ...delays(50, 20) };
    const sum = sumGrids([a, b]);
    expect([...sum.wrong.missed]).toEqual([2, 2]);
    expect([...sum.wrong.outside]).toEqual([0, 4]);
    expect([...sum.timesMs.delayMedianMs]).toEqual([50, 30]);
    expect(sum.sizes).toEqual({ gestures: 40, others: 60, outsideS: 120 });
    expect(() => sumGrids([a, drawnGrid(['012'])])).toThrow(/over different settings/);
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
      [{ ...fit, unfit: { kind: 'noMotion' } }],
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
      [{ ...fit, others: 4 }],
      'oneClass',
      /^Beside 20 labelled thrusts there are 4 other movements to tell them from, and it takes 5/,
      [/^Only takes with a labelled thrust tell what is none/, record],
    ],
    [
      'too few',
      [{ ...fit, gestures: 4, proposed: 1 }],
      'tooFew',
      /^4 labelled thrusts are too few to tell settings apart: it takes 5\.$/,
      [/look at 1 thrust that is proposed/, 'Record 1 more thrust or more.', record],
    ],
    [
      'gestures in an unfit take do not count',
      [
        { ...fit, gestures: 1 },
        { ...fit, unfit: { kind: 'noMotion' } },
      ],
      'tooFew',
      /^1 labelled thrust is too few/,
      ['Record 4 more thrusts or more.', record],
    ],
  ])('%s', (_name, evidence, kind, text, advice) => {
    const words = declined(stab, drawnGrid(ROOMY), evidence)!;
    expect(words.kind).toBe(kind);
    expect(words.text).toMatch(text);
    expect(words.advice).toHaveLength(advice.length);
    words.advice.forEach((said, i) => {
      const wanted = advice[i]!;
      if (typeof wanted === 'string') expect(said).toBe(wanted);
      else expect(said).toMatch(wanted);
    });
  });

  test('where the best of all settings is still wrong for more than 1 gesture in 4, whichever way', () => {
    const even = (part: GesturePart, count: number) =>
      declined(twist, drawnGrid(['00', '00'], { [part]: new Int32Array(4).fill(count) }), [fit]);
    for (const part of PARTS) {
      expect(even(part, 5)).toBe(null);
      expect(even(part, 6)).toMatchObject({ kind: 'noneGood' });
    }
  });

  test('one performer at a time is advised only where several have labelled gestures', () => {
    const advice = (performers: readonly string[], bare: string) => {
      const evidence = performers.map((performer) => ({ ...fit, performer }));
      const silent = { ...fit, performer: bare, gestures: 0 };
      return declined(twist, drawnGrid(['99', '99']), [...evidence, silent])!.advice.join();
    };
    expect(advice(['one', 'other'], 'one')).toMatch(/one performer’s takes at a time/);
    expect(advice(['one', 'one'], 'other')).toMatch(/Check the labels/);
    expect(advice(['one', 'one'], 'other')).not.toMatch(/at a time/);
  });
});
