import { expect, test } from 'vitest';
import type { TakeScores } from '../../../server/engine/compare/takeScores.ts';
import { groupScores } from '../../../server/engine/kept/judgeSetting.ts';
import type { JudgedTake } from '../../../server/engine/kept/judgeTake.ts';
import type { EvidenceTake } from '../../../server/engine/kept/keptSetting.ts';
import { NO_DIAL } from '../../../server/engine/score/dialScore.ts';
import { NO_GESTURES } from '../../../server/engine/score/gestureScore.ts';

/** A take with so many stray presses let through, of ten, and nothing else to score. */
function judged(performer: string, prop: string, session: string, slips: number) {
  const of = (k: number, n: number) => ({ k, n, interval: null, byPerson: n, byProgram: 0 });
  const scores = {
    guard: { falseAccepts: of(slips, 10), falseRejects: of(0, 0), openShare: null, waitAfterStopMs: null },
    deflection: { swings: 0, missed: of(0, 0), twice: of(0, 0), outside: 0, delayMs: null },
    gestures: NO_GESTURES,
    dial: NO_DIAL,
    presses: [],
  } as unknown as TakeScores;
  return {
    take: { performer, prop, session } as EvidenceTake,
    judged: { scores, parts: [], stills: [] } as JudgedTake,
  };
}

test('scores are told by performer, prop and session where there are several of a kind; spelling makes no two of one', () => {
  const groups = groupScores([
    judged('Ada', 'red', 'May', 1),
    judged(' ada', '', 'May', 2),
    judged('Ada', 'Red', 'May', 4),
  ]);
  expect(groups.map(({ by, name }) => [by, name])).toEqual([
    ['prop', 'red'],
    ['prop', ''],
  ]);
  expect(groups.map(({ scores }) => scores['strays'])).toMatchObject([
    { k: 5, n: 20 },
    { k: 2, n: 10 },
  ]);
});

test('one take alone has no groups', () => {
  expect(groupScores([judged('Ada', 'red', 'May', 1)])).toEqual([]);
});
