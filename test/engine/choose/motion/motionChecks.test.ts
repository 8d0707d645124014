import { describe, expect, test } from 'vitest';
import type { Border } from '../../../../server/engine/choose/borders.ts';
import { lostUnits, stressUnits, wrongUnits } from '../../../../server/engine/choose/motion/motionChecks.ts';
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
const at = (speedDps: number, holdMs: number) => guard({ speedDps, holdMs });
const border = (side: Border['side'], beyond: number | null): Border => {
  return { side, last: 0, beyond, strays: 0, wanted: 0, reversals: 0, quietS: 0 };
};

describe('spins and stops that go wrong', () => {
  test.each<[string, number, number, [number, string][]]>([
    ['a hold as long as the dip bridges it', 300, 250, []],
    ['without a hold the spin is open at the dip: 4 of 30 samples', 300, 0, [[100_000, 'stray']]],
    ['a hold longer than the patience is late after the stop', 300, 500, [[1_600_000, 'wanted']]],
    ['a speed that the blade never reaches leaves the spin open throughout', 500, 250, [[100_000, 'stray']]],
  ])('%s', (_name, speedDps, holdMs, wrong) => {
    expect([...wrongUnits(take, at(speedDps, holdMs), 300)]).toEqual(wrong);
  });

  test('beyond a border, those are lost that were right before, each with its moment', () => {
    const borders = [
      border('lowerSpeed', null),
      border('higherSpeed', 450),
      border('shorterHold', 150),
      border('longerHold', 450),
    ];
    const lost = lostUnits(take, at(300, 250), borders, 300);
    expect(lost.map(({ side, downUs, intent }) => [side, downUs, intent])).toEqual([
      ['higherSpeed', 100_000, 'stray'],
      ['shorterHold', 100_000, 'stray'],
      ['longerHold', 1_600_000, 'wanted'],
    ]);
  });

  test('under stress, verdicts that turn round are told, whichever way', () => {
    // At 395 °/s a gyro that reads 3 % less never closes the guard, and one of 300 °/s after the stop is no swing.
    const found = stressUnits(take, smoothing, at(395, 250), 300);
    const down = found.find(({ name }) => name === 'scaleDown')!;
    expect(down).toMatchObject({
      strayLetThrough: 1,
      wantedRefused: 0,
      flips: [{ takeId: 't', downUs: 100_000, intent: 'stray' }],
    });
    // At 310 °/s one that reads 3 % less leaves both as they were; at 305 one that reads 3 % more sees the stop later.
    expect(
      stressUnits(take, smoothing, at(310, 250), 300).find(({ name }) => name === 'scaleDown')!.flips,
    ).toEqual([]);
    const up = stressUnits(take, smoothing, at(305, 350), 300).find(({ name }) => name === 'scaleUp')!;
    expect(up.flips).toEqual([{ takeId: 't', downUs: 1_600_000, intent: 'wanted' }]);
  });
});
