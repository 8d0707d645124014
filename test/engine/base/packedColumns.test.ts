import { expect, test } from 'vitest';
import { MOTION_COLUMNS } from '../../../server/engine/base/log.ts';
import { packTimes, packValues } from '../../../server/engine/base/packColumn.ts';
import { type PackedLog, uniformLogOf } from '../../../server/engine/base/packedColumns.ts';
import { buildTimeBase } from '../../../server/engine/base/timeBase.ts';
import { seededRandom } from '../../seeded.ts';
import { drawnLog } from '../../web/longWays.ts';

test.each([1, 2, 3, 4])('put on its grid column by column, a log is what it is at once, seed %i', (seed) => {
  const random = seededRandom(seed);
  for (const jitterUs of [0, 4000]) {
    const drawn = drawnLog(seed, jitterUs);
    // Where no row is lost and no stamp jitters it is on its grid as it is.
    const timeUs = seed === 4 && jitterUs === 0 ? drawn.timeUs.map((_, i) => 10_000 * i) : drawn.timeUs;
    // One column of too many values to be packed.
    const log = { ...drawn, timeUs, gyroYDps: drawn.gyroYDps.map((dps) => dps + random()) };
    const saturated = Uint8Array.from(timeUs, () => (random() < 0.01 ? 1 : 0));
    const columns = MOTION_COLUMNS.map((name) => [name, packValues(log[name])]);
    const packed = {
      columns: { ...Object.fromEntries(columns), timeUs: packTimes(timeUs) },
      saturated,
    } as PackedLog;
    expect(uniformLogOf(packed)).toEqual(buildTimeBase(log, saturated).uniform);
  }
});
