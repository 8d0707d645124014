import { describe, expect, test } from 'vitest';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { accel, gyro, rollingTake, rowsOf, type Sample, textSource } from './logs.ts';

const take = rollingTake(900, 100);
const SIX = [accel(0), accel(1), accel(2), gyro(0), gyro(1), gyro(2)];
const read = async (name: string, stamp: (s: Sample, i: number) => string) => {
  const text = `${name},ax,ay,az,gx,gy,gz\n${rowsOf(take, [stamp, ...SIX])}`;
  const { mapping, report, needs } = await previewLog([textSource(text)], {}, {});
  const clock = mapping.columns.find(({ role }) => role === 'time');
  return { report, needs, unit: clock?.unit, warnings: report?.warnings.join('\n') ?? '' };
};
const seconds = (s: Sample) => s.t.toFixed(3).padStart(6, '0');

describe('clocks in less common clothes', () => {
  test.each<[string, string, (s: Sample, i: number) => string, string]>([
    ['days since 1900, as spreadsheets count', 'Time', (s) => (46_151.5 + s.t / 86_400).toFixed(10), 'day'],
    ['days since the year 0', 'datenum', (s) => (740_111.5 + s.t / 86_400).toFixed(10), 'day'],
    ['minutes, seconds and a fraction', 'Time', (s) => `30:${seconds(s)}`, 'timeOfDay'],
    [
      'across a full hour that is not shown',
      'Time',
      (s) => (s.t < 4 ? `59:${(56 + s.t).toFixed(3)}` : `00:${(s.t - 4).toFixed(3).padStart(6, '0')}`),
      'timeOfDay',
    ],
    ['a duration with days', 'time', (s) => `0 days 00:00:${seconds(s)}`, 'timeOfDay'],
    ['a month by name', 'Timestamp', (s) => `09-May-2026 17:30:${seconds(s)}`, 'timeOfDay'],
    ['a zone by name', 'time', (s) => `2026-05-09 17:30:${seconds(s)} UTC`, 'iso8601'],
    ['a French name that looks like a temperature', 'Temps (s)', (s) => s.t.toFixed(2), 's'],
    ['an Italian name that looks like a temperature', 'tempo', (s) => s.t.toFixed(2), 's'],
  ])('%s', async (_name, header, stamp, unit) => {
    const found = await read(header, stamp);
    expect(found.needs).toEqual([]);
    expect(found.unit).toBe(unit);
    expect(found.report!.rateHz).toBeCloseTo(100, 1);
    expect(found.report!.durationS).toBeCloseTo(8.99, 2);
    expect(found.report!.gaps).toBe(0);
  });
});

describe('a clock whose stated unit cannot be true', () => {
  test.each([
    ['Time (sec)', 1000, 'ms'],
    ['t_us', 1000, 'ms'],
    ['time_ms', 1, 's'],
  ])('%s', async (header, perSecond, unit) => {
    const found = await read(header, (s) => String(Number((s.t * perSecond).toFixed(4))));
    expect(found.unit).toBe(unit);
    expect(found.report!.rateHz).toBeCloseTo(100, 1);
    expect(found.warnings).toContain(`taken as ${unit}`);
  });

  test('ten rows a second stay ten rows a second', async () => {
    const found = await read('time (s)', (_, i) => (i / 10).toFixed(1));
    expect([found.unit, found.report!.rateHz]).toEqual(['s', 10]);
    expect(found.warnings).not.toContain('taken as');
  });
});

test('a kilohertz in milliseconds with decimals is a clock, no counter', async () => {
  const found = await read('t', (_, i) => `${i}.000`);
  expect([found.unit, found.report!.rateHz]).toEqual(['ms', 1000]);
});

describe('no clock, but the time since the row before', () => {
  test.each([
    ['dt_ms', () => '10', 100],
    ['dt', (_: Sample, i: number) => (0.01 + ((i % 3) - 1) * 1e-4).toFixed(5), 100],
    ['delta_t', () => '0.005', 200],
  ])('%s', async (header, step, rateHz) => {
    const { report, needs } = await read(header, step);
    expect(needs).toEqual([]);
    expect(report!.rateHz).toBeCloseTo(rateHz, 2);
    expect(report!.rateReason).toContain('time since the row before');
  });

  test('steps that are not steady are no rate', async () => {
    const { needs } = await read('dt', (_, i) => (i % 2 ? '0.01' : '0.03'));
    expect(needs.join()).toContain('give the sample rate');
  });
});
