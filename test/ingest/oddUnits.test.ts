import { describe, expect, test } from 'vitest';
import { restLevel } from '../../server/ingest/ground/rest.ts';
import { factorTo, readUnit } from '../../server/ingest/ground/units.ts';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { turnScale } from '../../server/ingest/units/turnScale.ts';
import { seededNormal } from '../seeded.ts';
import { accel, G, gyro, RAD, rollingTake, rowsOf, textSource, time } from './logs.ts';

const take = rollingTake(1500, 100);
const gyros = (scale: number, digits = 5) => [0, 1, 2].map((k) => gyro(k as 0 | 1 | 2, scale, digits));
const accels = (scale: number, digits = 5) => [0, 1, 2].map((k) => accel(k as 0 | 1 | 2, scale, digits));
const read = async (header: string, cells: readonly ReturnType<typeof accel>[], rows = take) => {
  const text = `${header}\n${rowsOf(rows, [time(), ...cells])}`;
  const { mapping, report } = await previewLog([textSource(text)], {}, {});
  const unit = (role: string) => mapping.columns.find((own) => own.role === role)!.unit;
  return {
    report: report!,
    accel: unit('accelX'),
    gyro: unit('gyroX'),
    warnings: report!.warnings.join('\n'),
  };
};

describe('rarer units', () => {
  test.each([
    ['cm/s²', 'cm/s2', 'accel', 0.01 / G],
    ['Gal', 'cm/s2', 'accel', 0.01 / G],
    ['mm/s^2', 'mm/s2', 'accel', 0.001 / G],
    ['ft/s^2', 'ft/s2', 'accel', 0.3048 / G],
    ['N/kg', 'm/s2', 'accel', 1 / G],
    ['µg', 'ug', 'accel', 1e-6],
    ['rpm', 'rpm', 'gyro', 6],
    ['turns/s', 'rev/s', 'gyro', 360],
    ['mrad/s', 'mrad/s', 'gyro', 0.05729577951308232],
    ['rad/min', 'rad/min', 'gyro', 0.954929658551372],
    ['deg/min', 'deg/min', 'gyro', 1 / 60],
    ['cdps', 'cdeg/s', 'gyro', 0.01],
  ] as const)('%j spells %s', (text, unit, quantity, factor) => {
    expect(readUnit(text)).toEqual({ quantity, unit });
    expect(factorTo(quantity, unit)).toBeCloseTo(factor, 14);
  });

  test.each(['Hz', 'd', 'day', 'time of day'])('%j is no unit', (text) => expect(readUnit(text)).toBeNull());

  test('are read as stated', async () => {
    const { report } = await read('t,ax [ft/s^2],ay [ft/s^2],az [ft/s^2],gx [rpm],gy [rpm],gz [rpm]', [
      ...accels(G / 0.3048),
      ...gyros(1 / 6),
    ]);
    expect(report.peakRateDps).toBeCloseTo(71.2, 0);
    expect(report.peakAccelG).toBeCloseTo(1, 1);
  });

  test.each([
    ['rpm', 1 / 6],
    ['cdeg/s', 100],
    ['mrad/s', RAD * 1000],
  ])('%s that nothing states is told by the turning', async (unit, scale) => {
    const found = await read('t,ax,ay,az,gx,gy,gz', [...accels(1), ...gyros(scale)]);
    expect([found.accel, found.gyro]).toEqual(['g', unit]);
  });

  test('whole hundredths of a degree beside whole mg are no codes', async () => {
    const found = await read('t,ax,ay,az,gx,gy,gz', [...accels(1000, 0), ...gyros(100, 0)]);
    expect([found.accel, found.gyro]).toEqual(['mg', 'cdeg/s']);
  });
});

describe('a header that cannot be true', () => {
  const still = take.slice(0, 90);
  const spin = still.map((s, i) => ({ ...s, gyro: [0.3, i > 60 ? 600 : 0.1, 0] as const }));

  test('says rad/s where the peak would be 34000 deg/s', async () => {
    const header = 't,ax (g),ay (g),az (g),gx (rad/s),gy (rad/s),gz (rad/s)';
    const { gyro: unit, warnings } = await read(header, [...accels(1), ...gyros(1)], spin);
    expect(unit).toBe('deg/s');
    expect(warnings).toContain('the rates would reach 34377 °/s: taken as °/s');
  });

  test('says m/s2 where the rest is a steady 1', async () => {
    const header = 't,ax (m/s2),ay (m/s2),az (m/s2),gx (dps),gy (dps),gz (dps)';
    const { accel: unit, warnings } = await read(header, [...accels(1), ...gyros(1)]);
    expect(unit).toBe('g');
    expect(warnings).toContain('the column name says that acceleration is in m/s²');
  });

  test('rates that turn against gravity are said to be mirrored, stated unit or not', async () => {
    for (const header of ['t,ax,ay,az,gx,gy,gz', 't,ax,ay,az,gx (dps),gy (dps),gz (dps)']) {
      const { warnings } = await read(header, [...accels(1), ...gyros(-1)]);
      expect(warnings).toContain('gravity turns against the rates');
    }
  });
});

test('tremor and noise at a kilohertz do not hide how gravity turns', () => {
  const normal = seededNormal(4);
  const rows = rollingTake(15_000, 1000);
  const column = (of: (s: (typeof rows)[number]) => number) => Float64Array.from(rows, of);
  const noisy = (axis: 0 | 1 | 2) => column((s) => s.accel[axis] + 0.06 * normal());
  const force = { x: noisy(0), y: noisy(1), z: noisy(2) };
  const rate = { x: column((s) => s.gyro[0]), y: column((s) => s.gyro[1]), z: column((s) => s.gyro[2]) };
  const timeUs = column((s) => s.t * 1e6);
  const turn = turnScale(timeUs, force, rate, restLevel(force), restLevel(rate, force))!;
  expect(turn.degPerUnit).toBeCloseTo(1, 1);
  expect(turn.agreement).toBeGreaterThan(0.8);
});
