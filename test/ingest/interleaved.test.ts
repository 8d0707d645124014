import { describe, expect, test } from 'vitest';
import type { LogReport } from '../../server/ingest/ground/types.ts';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { rollingTake, type Sample, textSource } from './logs.ts';

const take = rollingTake(2400, 400);
const EPOCH_NS = 1_767_225_600_000_000_000n;
const stamp = ({ t }: Sample) => String(EPOCH_NS + BigInt(Math.round(t * 1e6)) * 1000n);
const gyro = (s: Sample) => s.gyro.map((value) => value.toFixed(3));
const accel = (s: Sample) => s.accel.map((value) => value.toFixed(4));
const none = ['', '', ''];
const isDown = (t: number) => (t >= 2 && t < 2.3) || (t >= 4 && t < 4.2);

/** Pairs of neighbours that have swapped places, here and there. */
function swapped<T>(rows: readonly T[]): T[] {
  const out = [...rows];
  for (let at = 97; at + 1 < out.length; at += 211) [out[at], out[at + 1]] = [out[at + 1]!, out[at]!];
  return out;
}

async function read(header: string, rows: readonly (readonly string[])[]): Promise<LogReport> {
  const text = `${header}\n${rows.map((row) => row.join(',')).join('\n')}\n`;
  const { report, needs } = await previewLog([textSource(text)], {}, {});
  expect(needs).toEqual([]);
  return report!;
}

const sensors = 'time_ns,gx_dps,gy_dps,gz_dps,ax_g,ay_g,az_g';

describe('rows of one sensor each, stamped in nanoseconds since 1970', () => {
  // Rates at 200 Hz, force at 100 Hz: odd rows and every fourth of 400 Hz.
  const rows = take.flatMap((s, i) =>
    i % 2 === 1
      ? [[stamp(s), ...gyro(s), ...none, isDown(s.t) ? '1' : '0']]
      : i % 4 === 0
        ? [[stamp(s), ...none, ...accel(s), '']]
        : [],
  );
  test.each([
    ['at two rates', rows, 0],
    ['at two rates, and stamps that fall now and then', swapped(rows), 8],
  ] as const)('%s', async (_what, own, falls) => {
    const report = await read(`${sensors},button`, own);
    expect(report.rateHz).toBeCloseTo(200, 1);
    expect(report).toMatchObject({ gaps: 0, badRowCount: 0, duplicates: 0 });
    expect(report.backwards > 0).toBe(falls > 0);
    expect(report.presses).toEqual([{ button: 'button', count: 2 }]);
    expect(report.peakRateDps).toBeLessThan(73);
    expect(report.warnings.join('\n')).not.toMatch(/starts anew/);
  });

  test('with estimates in rows of their own, at a third rate', async () => {
    const names = `${sensors},est_gx_dps,est_gy_dps,est_gz_dps,est_ax_g,est_ay_g,est_az_g`;
    const all = take.flatMap((s, i) => {
      const half = (values: readonly number[]) => values.map((value) => (0.9 * value).toFixed(3));
      if (i % 8 === 2) return [[stamp(s), ...none, ...none, ...half(s.gyro), ...half(s.accel)]];
      if (i % 2 === 1) return [[stamp(s), ...gyro(s), ...none, ...none, ...none]];
      return i % 4 === 0 ? [[stamp(s), ...none, ...accel(s), ...none, ...none]] : [];
    });
    const report = await read(names, all);
    expect(report.rateHz).toBeCloseTo(200, 1);
    expect(report.gaps).toBe(0);
    expect(report.peakRateDps).toBeGreaterThan(70);
    expect(report.columns.filter(({ role }) => /^(gyro|accel)/.test(role)).map(({ name }) => name)).toEqual(
      sensors.split(',').slice(1),
    );
  });

  test('with estimates beside the measurements in the same rows', async () => {
    const names = `${sensors},filtered_gx_dps,filtered_gy_dps,filtered_gz_dps`;
    const all = take.flatMap((s, i) => {
      const half = s.gyro.map((value) => (0.9 * value).toFixed(3));
      if (i % 2 === 1) return [[stamp(s), ...gyro(s), ...none, ...half]];
      return i % 4 === 0 ? [[stamp(s), ...none, ...accel(s), ...none]] : [];
    });
    const report = await read(names, swapped(all));
    expect(report.rateHz).toBeCloseTo(200, 1);
    expect(report.columns.find(({ role }) => role === 'gyroX')!.name).toBe('gx_dps');
  });

  test('a 19-digit clock that falls in a log of whole rows is put in order', async () => {
    const whole = swapped(take.filter((_, i) => i % 4 === 0)).map((s) => [stamp(s), ...gyro(s), ...accel(s)]);
    const report = await read(sensors, whole);
    expect(report.rateHz).toBeCloseTo(100, 2);
    expect(report).toMatchObject({ rows: 600, gaps: 0, duplicates: 0, backwards: 3 });
  });
});
