import { expect, test } from 'vitest';
import { simulatedGestures } from '../../server/engine/labels/gesturesSimulated.ts';
import { DEFAULT_CANDIDATE, withField } from '../../server/engine/settings/candidateRules.ts';
import { demoTake, judge, labelsOf, see } from './simulated.ts';

const seen = (name: string) => {
  const take = see(demoTake(name));
  const labels = { ...labelsOf(take.take), gestures: simulatedGestures(take.take.truth) };
  const dial = (degPerStep: number, startAt: 'rest' | 'hold') => {
    const candidate = withField(
      withField(DEFAULT_CANDIDATE, 'twist.degPerStep', degPerStep),
      'twist.startAt',
      startAt,
    );
    return judge(take, candidate, labels).dialScore;
  };
  return dial;
};

test('a spin rolls the grip, and the dial that turns with it is counted; a coarse dial stays', () => {
  const dial = seen('spinner-full-routine');
  const fine = dial(15, 'rest');
  expect(fine.spinning).toBeGreaterThan(5);
  expect(fine.outside).toBe(fine.steps);
  expect(dial(360, 'rest')).toEqual({ steps: 0, outside: 0, spinning: 0 });
});

test('in a drill of twists the dial turns at each; what is outside is the way back and the swings', () => {
  const { steps, outside, spinning } = seen('duellist-twist-dial')(15, 'rest');
  // 45, 30, 60, 75, 90, 90, 30, 120, 95, 105, 110 degrees make 55 whole steps, and as many come on the way back
  expect(steps - outside!).toBeGreaterThan(45);
  expect(steps - outside!).toBeLessThan(65);
  expect(outside).toBeGreaterThan(40);
  expect(spinning).toBe(null);
});
