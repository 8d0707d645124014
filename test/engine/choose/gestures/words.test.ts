import { describe, expect, test } from 'vitest';
import type { GestureBorder, LostGesture } from '../../../../server/engine/choose/gestures/borders.ts';
import { suggestGesture } from '../../../../server/engine/choose/gestures/choice.ts';
import type { GestureEvidence } from '../../../../server/engine/choose/gestures/evidence.ts';
import { GESTURE_WORDS } from '../../../../server/engine/choose/gestures/gestureNames.ts';
import type { GestureGrid } from '../../../../server/engine/choose/gestures/take.ts';
import {
  gestureBasisText,
  gestureBorderText,
  gestureMarginTexts,
  wrongGestureText,
} from '../../../../server/engine/choose/gestures/words.ts';

/** Good in the middle column alone, or everywhere. */
function grid(isEven: boolean, ys = [0, 20, 40]): GestureGrid {
  const missed = Int32Array.from({ length: 9 }, (_, i) => (isEven || Math.floor(i / 3) === 1 ? 0 : 9));
  const none = new Int32Array(9);
  return {
    xs: Float64Array.of(0.5, 1, 1.5),
    ys: Float64Array.from(ys),
    gestures: 20,
    others: 30,
    outsideS: 60,
    missed,
    again: none,
    outside: none,
    delayMedianMs: new Float64Array(9),
  };
}

describe('margins', () => {
  test('name both settings, and what is but the end of what was tried', () => {
    const [x, y] = gestureMarginTexts(suggestGesture('stab', grid(false)));
    expect(x).toMatch(/^Holds for a thrust of 1 to 1 g at a quiet time of \d+ ms\.$/);
    expect(y).toBe(
      'Holds for a quiet time of 0 to 40 ms at a thrust of 1 g. 40 ms is the most tried, no margin.',
    );
  });

  test('where every setting does as well, neither end is a margin but one at 0', () => {
    const [x, y] = gestureMarginTexts(suggestGesture('twist', grid(true, [10, 20, 30])));
    expect(x).toMatch(
      /a turn of 0\.5 to 1\.5° at a time of \d+ ms\. 0\.5° is the least tried, no margin\. 1\.5° is the most/,
    );
    expect(y).toMatch(/a time of 10 to 30 ms at a turn of [\d.]+°\. 10 ms is the least tried/);
  });
});

describe('borders', () => {
  const border: GestureBorder = { axis: 'x', by: 1, last: 1.5, beyond: 1.6, missed: 1, again: 0, outside: 0 };
  const lost: LostGesture = { axis: 'x', by: 1, kind: 'missed', atUs: 24_400_000, takeId: 'a', title: 'A' };
  test.each<[string, Parameters<typeof gestureBorderText>, string]>([
    [
      'a gesture missed',
      ['stab', border, [lost]],
      'Above a thrust of 1.5 g: 1 more thrust would be missed (A, 24.4 s).',
    ],
    [
      'several kinds',
      ['impact', { ...border, by: -1, missed: 0, again: 2, outside: 3 }, []],
      'Below a level of 1.5 g: 2 more hits would fire again, 3 more impacts would come outside any hit.',
    ],
    [
      'an end of the map',
      ['twist', { ...border, last: 180, beyond: null, missed: 0 }, []],
      'Above a turn of 180° nothing was tried: no twist here speaks against it.',
    ],
    [
      'an end of the map below',
      ['stab', { ...border, by: -1, last: 0.2, beyond: null, missed: 0 }, []],
      'Below a thrust of 0.2 g nothing was tried: no stab here speaks against it.',
    ],
    [
      'nothing at all',
      ['stab', { ...border, axis: 'y', by: -1, last: 0, beyond: null, missed: 0 }, []],
      'Even a quiet time of 0 ms does as well here.',
    ],
  ])('%s', (_name, args, text) => {
    expect(gestureBorderText(...args)).toBe(text);
  });
});

test.each([
  ['missed', 'the hit at 1.5 s of A is missed.'],
  ['again', 'the impact at 1.5 s of A is a second one for the same hit.'],
  ['outside', 'the impact at 1.5 s of A lies outside any hit.'],
] as const)('what is wrong even so: %s', (kind, text) => {
  expect(wrongGestureText('impact', { kind, atUs: 1_500_000, title: 'A' })).toBe(text);
});

test('whose gestures the counts rest on is told, and which takes say nothing', () => {
  const take: GestureEvidence = {
    id: 'a',
    title: 'A',
    performer: '',
    gestures: 6,
    by: { person: 5, program: 0, simulation: 1 },
    unconfirmed: 2,
    proposed: 3,
    others: 9,
    outsideS: 30.4,
    contradictionsUs: [],
    unfit: null,
  };
  const none = { person: 0, program: 0, simulation: 0 };
  const silent = { ...take, gestures: 0, by: none, unconfirmed: 0, others: 0, outsideS: 0 };
  const unfit = { ...take, title: 'B', unfit: 'it holds no motion' };
  expect(gestureBasisText('stab', [take, silent, unfit])).toBe(
    'Rests on 5 thrusts labelled by a person, 1 by the simulation, and 9 other movements in 30 s at which it is to keep silent. 2 thrusts that only the program has labelled count for nothing. In Tune 3 more thrusts are proposed: until somebody confirms them, a stab there counts as false. 1 take holds no labelled thrust and so says nothing of a false stab. Left out as unfit: B (it holds no motion).',
  );
});

test.each([
  ['stab', '0.9 g after 20 ms of quiet', '0.9 g · 20 ms'],
  ['impact', '0.9 g, rising 20 g per 100\u00a0°/s', '0.9 g · 20 g'],
  ['twist', '0.9° within 20 ms', '0.9° · 20 ms'],
] as const)('a setting of %s, and in a table', (kind, text, brief) => {
  expect(GESTURE_WORDS[kind].setting(0.9, 20)).toBe(text);
  expect(GESTURE_WORDS[kind].brief(0.9, 20)).toBe(brief);
});
