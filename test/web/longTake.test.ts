import { describe, test } from 'vitest';
import { DEFAULT_CALIBRATION } from '../../server/engine/calibrate/calibration.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { seededRandom } from '../seeded.ts';
import { drawnLog, expectSameLongTake } from './longWays.ts';

const STARTS = ['takeStart', 'rest', 'hold'] as const;

describe('what the page makes of a long take again is what the engine made of it, to the bit', () => {
  const calibrations = [
    DEFAULT_CALIBRATION,
    { ...DEFAULT_CALIBRATION, bias: 'auto' as const, leverArmM: 0.4, accelScale: 0.98 },
    { ...DEFAULT_CALIBRATION, mount: { tip: '-y', side: '+z' } as const, leverArmM: 0.2 },
  ];
  test.each([1, 2, 3, 4, 5, 6])('on drawn logs with gaps, seed %i', async (seed) => {
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
      await expectSameLongTake({ log, saturated, calibration, candidate, presses });
    }
  });

  test('also where every value is another one, so that no column is told in fewer bytes', async () => {
    const random = seededRandom(9);
    const log = drawnLog(1, 0);
    const fine = (column: Float64Array) => column.map((value) => value + random() / 100);
    const columns = Object.entries(log).map(([name, column]) => [
      name,
      name === 'timeUs' ? column : fine(column),
    ]);
    await expectSameLongTake({
      log: Object.fromEntries(columns),
      saturated: new Uint8Array(log.timeUs.length),
      calibration: calibrations[1]!,
      candidate: DEFAULT_CANDIDATE,
      presses: [],
    });
  });
});
