import { expect, test } from 'vitest';
import type { Overrides } from '../../server/ingest/ground/types.ts';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { readTake } from '../../server/ingest/take/readTake.ts';
import { rollingTake, rowsOf, SIX, textSource, time } from './logs.ts';

const NAMES = 't_s,gx_dps,gy_dps,gz_dps,ax_g,ay_g,az_g';
const take = rollingTake(600, 100);
const log = textSource(`${NAMES}\n${rowsOf(take, [time(), ...SIX])}`);

async function read(overrides: Overrides) {
  const { mapping, report } = await previewLog([log], overrides, {});
  const read = await readTake([log], mapping, {});
  return { ...read, mapping, report: report! };
}

test('a reversed column is read with the other sign, the others as they are, and the report names it', async () => {
  const plain = await read({});
  const turned = await read({
    reversed: [
      { file: 0, index: 2 },
      { file: 0, index: 6 },
    ],
  });
  const negated = (column: Float64Array) => column.map((value) => 0 - value);
  expect(turned.log.gyroYDps).toEqual(negated(plain.log.gyroYDps));
  expect(turned.log.accelZG).toEqual(negated(plain.log.accelZG));
  expect(turned.log.gyroXDps).toEqual(plain.log.gyroXDps);
  expect(turned.log.accelXG).toEqual(plain.log.accelXG);
  expect(turned.report.warnings).toContain('the sign of column "gy_dps" is reversed, stated by you');
  expect(turned.mapping.columns.map(({ reversed }) => reversed ?? false)).toEqual(
    NAMES.split(',').map((name) => ['gy_dps', 'az_g'].includes(name)),
  );
});

test('what is stated as reversed and is no motion keeps its sign, and a mapping that says otherwise is refused', async () => {
  const { mapping } = await read({ reversed: [{ file: 0, index: 0 }] });
  expect(mapping.columns[0]).not.toHaveProperty('reversed');
  const columns = mapping.columns.map((column) => ({ ...column, reversed: true }));
  await expect(readTake([log], { ...mapping, columns }, {})).rejects.toThrow('it has no sign to reverse');
});

test('clipping at the lowest code is found on a reversed column too', async () => {
  const codes = take.map((s, i) => ({
    ...s,
    gyro: [Math.max(-32_768, i % 40 < 4 ? -40_000 : s.gyro[0] * 10), s.gyro[1] * 10, s.gyro[2] * 10] as const,
  }));
  const round = (axis: 0 | 1 | 2) => (s: (typeof codes)[number]) => Math.round(s.gyro[axis]);
  const [, , , ...force] = SIX;
  const text = `t_s,gx,gy,gz,ax_g,ay_g,az_g\n${rowsOf(codes, [time(), round(0), round(1), round(2), ...force])}`;
  const source = textSource(text);
  const stated = { gyroUnit: 'lsb:10' };
  const plain = await previewLog([source], stated, {});
  const turned = await previewLog([source], { ...stated, reversed: [{ file: 0, index: 1 }] }, {});
  expect(plain.report!.saturated.gyroX).toBe(60);
  expect(turned.report!.saturated.gyroX).toBe(60);
});

test('what is reversed is worth remembering', async () => {
  const reversed = [{ file: 0, index: 3 }];
  expect((await previewLog([log], { reversed }, {})).corrections).toEqual({ reversed });
  expect((await previewLog([log], { reversed: [{ file: 0, index: 0 }] }, {})).corrections).toEqual({});
});
