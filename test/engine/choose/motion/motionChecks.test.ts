import { describe, expect, test } from 'vitest';
import type { Border } from '../../../../server/engine/choose/borders.ts';
import { lostBeyond, stressTake, wrongEvents } from '../../../../server/engine/choose/checkTake.ts';
import { MOTION } from '../../../../server/engine/choose/motion/motionProblem.ts';
import type { GuardPart } from '../../../../server/engine/choose/takeSweep.ts';
import { computeSpeedSignals } from '../../../../server/engine/motion/signals.ts';
import { DEFAULT_CANDIDATE } from '../../../../server/engine/settings/candidateRules.ts';
import { fakeMotion } from '../../fakeSignals.ts';
import { drawn, guard } from '../drawnTake.ts';

const smoothing = { ...DEFAULT_CANDIDATE.smoothing, kind: 'none' as const };

/**
 * One character per 50 ms. A spin of 1.5 s at 400 °/s with a dip of 200 ms, then a stop: 50 ms after the spin's end the
 * blade is at or above 300 °/s for the last time.
 */
const TRACE = `00${'4'.repeat(13)}1110${'4'.repeat(13)}33${'0'.repeat(40)}`;
const motion = fakeMotion(drawn(TRACE), { rateHz: 20 });
const spin = { startUs: 100_000, endUs: 1_600_000, kind: 'spinning', by: 'person' as const };
const take = {
  id: 't',
  title: 'T',
  performer: '',
  motion,
  signals: computeSpeedSignals(motion, smoothing),
  presses: [],
  labels: { presses: [], spans: [spin], swings: [] },
  truth: { swings: [], spinning: [spin], reversals: [] },
};
const base = { ...guard(), patienceMs: 300 };
const border = (axis: 'x' | 'y', by: -1 | 1, beyond: number | null): Border<GuardPart> => {
  return { axis, by, last: 0, beyond, worse: { strays: 0, wanted: 0, reversals: 0, quietS: 0 } };
};

describe('spins and stops that go wrong', () => {
  test.each<[string, number, number, [number, GuardPart][]]>([
    ['a hold as long as the dip bridges it', 300, 250, []],
    ['without a hold the spin is open at the dip: 4 of 30 samples', 300, 0, [[100_000, 'strays']]],
    ['a hold longer than the patience is late after the stop', 300, 500, [[1_600_000, 'wanted']]],
    ['a speed that the blade never reaches leaves the spin open throughout', 500, 250, [[100_000, 'strays']]],
  ])('%s', (_name, speedDps, holdMs, wrong) => {
    const found = wrongEvents(MOTION.judge(take, MOTION.at(base, speedDps, holdMs), take.signals));
    expect(found.map(({ atUs, part }) => [atUs, part])).toEqual(wrong);
  });

  test('beyond a border, those are lost that were right before, each with its moment', () => {
    const borders = [border('x', -1, null), border('x', 1, 450), border('y', -1, 150), border('y', 1, 450)];
    const lost = lostBeyond(MOTION, take, base, { x: 300, y: 250 }, borders);
    expect(lost.map(({ axis, by, atUs, part }) => [axis, by, atUs, part])).toEqual([
      ['x', 1, 100_000, 'strays'],
      ['y', -1, 100_000, 'strays'],
      ['y', 1, 1_600_000, 'wanted'],
    ]);
  });

  test('under stress, verdicts that turn round are told, whichever way', () => {
    // At 395 °/s a gyro that reads 3 % less never closes the guard, and one of 300 °/s after the stop is no swing.
    const under = (speedDps: number, holdMs: number, stress: string) => {
      const found = stressTake(MOTION, take, smoothing, MOTION.at(base, speedDps, holdMs));
      const { wrong, flips } = found.find(({ name }) => name === stress)!;
      return [wrong.strays, wrong.wanted, flips];
    };
    expect(under(395, 250, 'gyroLess')).toEqual([1, 0, 1]);
    // At 310 °/s one that reads 3 % less leaves both as they were; at 305 one that reads 3 % more sees the stop later.
    expect(under(310, 250, 'gyroLess')[2]).toBe(0);
    expect(under(305, 350, 'gyroMore')).toEqual([0, 1, 1]);
  });
});
