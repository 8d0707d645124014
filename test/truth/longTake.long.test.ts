import { describe, test } from 'vitest';
import { DEMO_TAKES } from '../../scripts/simulate/demo/demoTakes.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { expectSameInOneScratch } from '../engine/check/checkedTakes.ts';
import { expectSameLongTake } from '../web/longWays.ts';
import { demoTake, see } from './simulated.ts';

/** The one take that dials begins its dial both ways: the rest of what is computed is the same. */
const STARTS_OF: Readonly<Record<string, readonly ('rest' | 'hold')[]>> = {
  'duellist-twist-dial': ['rest', 'hold'],
};

describe.each(DEMO_TAKES.map(({ name }) => name))('on %s', (name) => {
  test('what the page makes of a long take again is what the engine made of it, to the bit', async () => {
    const take = demoTake(name);
    const { calibration } = see(take, { bias: 'auto' as never });
    const saturated = new Uint8Array(take.log.timeUs.length);
    for (const startAt of STARTS_OF[name] ?? (['rest'] as const)) {
      const candidate = { ...DEFAULT_CANDIDATE, twist: { ...DEFAULT_CANDIDATE.twist, startAt } };
      await expectSameLongTake({ log: take.log, saturated, calibration, candidate, presses: take.presses });
    }
  });

  test('a check that writes over the rates of its motion finds the same', () => {
    const take = demoTake(name);
    expectSameInOneScratch(take.log, see(take, { bias: 'auto' as never }).calibration);
  });
});
