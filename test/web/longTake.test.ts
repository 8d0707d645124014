import { describe, expect, test } from 'vitest';
import type { MotionLog } from '../../server/engine/base/log.ts';
import { buildTimeBase } from '../../server/engine/base/timeBase.ts';
import { DEFAULT_CALIBRATION } from '../../server/engine/calibrate/calibration.ts';
import { biasOf } from '../../server/engine/motion/motion.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { thinLog } from '../../web/takes/longMotion.ts';
import { seededRandom } from '../seeded.ts';
import { drawnLog, expectSameLongTake } from './longWays.ts';

const STARTS = ['takeStart', 'rest', 'hold'] as const;

describe('what the page makes of a long take again is what the engine made of it, to the bit', () => {
  const calibrations = [
    DEFAULT_CALIBRATION,
    { ...DEFAULT_CALIBRATION, bias: 'auto' as const, leverArmM: 0.4, accelScale: 0.98 },
    { ...DEFAULT_CALIBRATION, mount: { tip: '-y', side: '+z' } as const, leverArmM: 0.2 },
  ];
  test.each([1, 2, 3, 4, 5, 6])('on drawn logs with gaps, seed %i', (seed) => {
    const random = seededRandom(100 + seed);
    for (const jitterUs of [0, 4000]) {
      const log = drawnLog(seed, jitterUs);
      const presses = Array.from({ length: 12 }, (_, k) => {
        const downUs = Math.round(random() * log.timeUs.at(-1)!);
        return { button: k % 2 ? 'power' : 'other', downUs, upUs: downUs + 90_000 };
      }).sort((a, b) => a.downUs - b.downUs);
      // Each calibration and each start of the twist has its turn.
      const calibration = calibrations[seed % 3]!;
      const startAt = STARTS[(seed + (jitterUs > 0 ? 1 : 0)) % 3]!;
      const saturated = Uint8Array.from(log.timeUs, () => (random() < 0.01 ? 1 : 0));
      const candidate = { ...DEFAULT_CANDIDATE, twist: { ...DEFAULT_CANDIDATE.twist, startAt } };
      expectSameLongTake({ log, saturated, calibration, candidate, presses });
    }
  });

  test('where hardly a column is told in fewer bytes the take is kept as it is', () => {
    const log = drawnLog(1, 0);
    const random = seededRandom(9);
    const many = () => Float64Array.from(log.timeUs, () => random());
    const saturated = new Uint8Array(log.timeUs.length);
    const thin = (changed: MotionLog) => {
      const { uniform } = buildTimeBase(changed);
      return thinLog({ raw: changed, saturated, uniform }, biasOf(uniform, DEFAULT_CALIBRATION));
    };
    const rates = { gyroXDps: many(), gyroYDps: many(), gyroZDps: many() };
    expect(thin({ ...log, ...rates })).not.toBeNull();
    expect(thin({ ...log, ...rates, accelXG: many() })).toBeNull();
  });
});
