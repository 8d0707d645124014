import { describe, expect, test } from 'vitest';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { readTake } from '../../server/ingest/take/readTake.ts';
import { restoreSigns } from '../../server/ingest/take/signedCodes.ts';
import { codes, rollingTake, rowsOf, type Sample, textSource, time } from './logs.ts';

const take = rollingTake(900, 100);

describe('codes whose sign was lost', () => {
  test.each<[string, (value: number) => number, string]>([
    [
      "two's complement of 16 bits, printed unsigned",
      (v) => (v + 65_536) % 65_536,
      'their sign was put back',
    ],
    ['half the range added', (v) => v + 32_768, 'the codes stand 32768 too high'],
  ])('%s', async (_name, spoil, said) => {
    const columns = [...codes('accel', 2048), ...codes('gyro', 16.4)].map(
      (read) => (s: Sample) => spoil(read(s)),
    );
    const text = `ms,ax,ay,az,gx,gy,gz\n${rowsOf(take, [time(1000, 0), ...columns])}`;
    const { mapping, report } = await previewLog([textSource(text)], {}, {});
    expect(report!.warnings.join('\n')).toContain(said);
    const { log } = await readTake([textSource(text)], mapping, {});
    for (const i of [0, 300, 651, 899]) {
      expect(Math.abs(log.gyroXDps[i]! - take[i]!.gyro[0])).toBeLessThan(0.04);
      expect(Math.abs(log.accelXG[i]! - take[i]!.accel[0])).toBeLessThan(6e-4);
    }
  });

  test.each<[string, number[]]>([
    ['signed codes', [-32_768, -3, 2, 32_767, 0, 1]],
    ['a rate that only ever turns one way', [0, 9000, 18_000, 27_000, 36_000, 30_000]],
    ['fractions', [0.5, 40_000.5, 3, 0, 1, 2]],
    ['small whole numbers', [0, 1, 0, 3, 1, 0]],
  ])('%s stay', (_name, values) => {
    const columns = [values, values, values].map((own) => Float64Array.from(own));
    expect(restoreSigns(columns, [])).toBeNull();
    expect(columns.map((own) => [...own])).toEqual([values, values, values]);
  });
});
