import { describe, expect, test } from 'vitest';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { readTake } from '../../server/ingest/take/readTake.ts';
import { accel, G, gyro, RAD, rollingTake, rowsOf, type Sample, textSource, time } from './logs.ts';

const take = rollingTake(600, 100);
const epochNs = (s: Sample) => String(1_778_347_800_000_000_000n + BigInt(Math.round(s.t * 1e9)));
const accelRows = (samples: readonly Sample[], clock: (s: Sample) => string = epochNs) =>
  `time,z,y,x\n${rowsOf(samples, [clock, accel(2, G), accel(1, G), accel(0, G)])}`;
const gyroRows = (samples: readonly Sample[], clock: (s: Sample) => string = epochNs) =>
  `time,z,y,x\n${rowsOf(samples, [clock, gyro(2, RAD, 6), gyro(1, RAD, 6), gyro(0, RAD, 6)])}`;

async function join(accelText: string, gyroText: string, extra: [string, string][] = []) {
  const sources = [
    textSource(accelText, 'Accelerometer.csv'),
    textSource(gyroText, 'Gyroscope.csv'),
    ...extra.map(([name, text]) => textSource(text, name)),
  ];
  const preview = await previewLog(sources, {}, {});
  const read = preview.needs.length > 0 ? null : await readTake(sources, preview.mapping, {});
  return { preview, read: read! };
}

describe('two files of one take', () => {
  test.each([
    ['acc.csv', 'gx_dps,gy_dps,gz_dps', 'gyro'],
    ['acc.csv', 'x_dps,y_dps,z_dps', 'gyro'],
    ['gyro.csv', 'ax_g,ay_g,az_g', 'accel'],
    ['acc.csv', 'x,y,z', 'accel'],
  ])(
    '%s with columns %s holds %s: a stated unit says more than the file’s name',
    async (name, columns, kind) => {
      const values = kind === 'gyro' ? [gyro(0), gyro(1), gyro(2)] : [accel(0), accel(1), accel(2)];
      const text = `t_s,${columns}\n${rowsOf(take, [time(), ...values])}`;
      const { mapping } = await previewLog([textSource(text, name)], {}, {});
      expect(mapping.columns.slice(1).map(({ role }) => role)).toEqual([`${kind}X`, `${kind}Y`, `${kind}Z`]);
    },
  );

  test('rows of one moment are joined as they are, columns z, y, x by their names', async () => {
    const { read } = await join(accelRows(take), gyroRows(take));
    expect(read.report).toMatchObject({ rows: 600, startTime: '2026-05-09T17:30:00.000000Z' });
    expect(read.log.gyroXDps[300]).toBeCloseTo(take[300]!.gyro[0], 3);
    expect(read.log.accelYG[300]).toBeCloseTo(take[300]!.accel[1], 4);
    expect(read.report.warnings[0]).toBe('two files joined on time: both start together; their stamps agree');
  });

  test('lost ends are counted, and the offset is told', async () => {
    const { read } = await join(accelRows(take.slice(40)), gyroRows(take.slice(0, 580)));
    expect(read.report.rows).toBe(540);
    expect(read.report.startTime).toBe('2026-05-09T17:30:00.400000Z');
    expect(read.report.warnings[0]).toContain('Accelerometer.csv starts 400 ms after Gyroscope.csv');
    expect(read.report.warnings[0]).toContain('40 rows of Gyroscope.csv have no partner');
    expect(read.report.warnings[0]).toContain('20 rows of Accelerometer.csv have no partner');
  });

  test('stamps that differ are interpolated', async () => {
    const late = take.map((s) => ({ ...s, t: s.t + 0.004 }));
    const ramp = late.map((s) => ({ ...s, accel: [s.t / 100, 0, 1] as const }));
    const { read } = await join(accelRows(ramp), gyroRows(take));
    expect(read.report.warnings[0]).toContain('interpolated at 599 of 599 rows');
    // Rows of the gyroscope stay; x is the time at which it was read.
    for (const i of [0, 7, 598])
      expect(read.log.accelXG[i]! * 100).toBeCloseTo(0.01 + read.log.timeUs[i]! / 1e6, 3);
  });

  test('the clearly faster file sets the clock', async () => {
    const { read } = await join(accelRows(take), gyroRows(take.filter((_, i) => i % 4 === 0)));
    expect(read.report.rateHz).toBeCloseTo(100, 3);
  });

  test('a hole in one file stays a gap', async () => {
    const { read } = await join(accelRows(take.filter((_, i) => i < 200 || i >= 300)), gyroRows(take));
    expect(read.report).toMatchObject({
      rows: 500,
      gaps: 1,
      longSteps: 1,
      longestStepMs: 1010,
      gapList: [{ startS: 1.99, endS: 3 }],
    });
  });

  test('clocks in different units are one clock', async () => {
    const { read } = await join(
      accelRows(take.slice(10)),
      gyroRows(take, (s) => (1_778_347_800 + s.t).toFixed(6)),
    );
    expect(read.report).toMatchObject({ rows: 590, durationS: 5.89 });
  });

  test('a third file may hold the buttons', async () => {
    const events = `time,button\n${epochNs({ ...take[0]!, t: 2 })},power down\n${epochNs({ ...take[0]!, t: 2.25 })},power up\n`;
    const { read } = await join(accelRows(take), gyroRows(take), [['Buttons.csv', events]]);
    expect(read.presses).toEqual([{ button: 'power', downUs: 2_000_000, upUs: 2_250_000 }]);
  });

  test('no time in common is refused', async () => {
    const later = take.map((s) => ({ ...s, t: s.t + 100 }));
    await expect(join(accelRows(take), gyroRows(later))).rejects.toThrow('have no time in common');
  });

  test('one file alone asks for the other', async () => {
    const preview = await previewLog([textSource(gyroRows(take), 'Gyroscope.csv')], {}, {});
    expect(preview.needs[0]).toContain('no columns of acceleration were found');
  });
});

describe('acceleration without gravity', () => {
  test('is read, and said', async () => {
    const still = take.map((s) => ({ ...s, accel: [s.accel[0], s.accel[0] / 2, 0] as const }));
    const { read } = await join(accelRows(still), gyroRows(take));
    expect(read.report.warnings.join('\n')).toContain('the acceleration holds no gravity');
    expect(read.report.warnings.join('\n')).toContain('the unit of acceleration is a guess');
  });
});

test('clocks of their own beginning are taken as one', async () => {
  const { read } = await join(accelRows(take, time()), gyroRows(take, time()));
  expect(read.report).toMatchObject({ rows: 600, startTime: null });
});
