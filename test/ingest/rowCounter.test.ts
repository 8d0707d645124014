import { expect, test } from 'vitest';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { accel, gyro, rollingTake, rowsOf, textSource, time } from './logs.ts';

const take = rollingTake(1500, 100);
const SENSORS = [accel(0), accel(1), accel(2), gyro(0), gyro(1), gyro(2)];

/** A log whose first column is a counter. @param isLost  rows that are not in the file */
async function read(count: (i: number) => number, isLost: (i: number) => boolean = () => false) {
  const numbered = take.map((s, i) => ({ ...s, i }));
  const kept = numbered.filter(({ i }) => !isLost(i));
  const rows = rowsOf(kept, [(_, k) => count(kept[k]!.i), ...SENSORS]);
  const text = `# sample rate: 100 Hz\npacket,ax (g),ay (g),az (g),gx (dps),gy (dps),gz (dps)\n${rows}`;
  const { report } = await previewLog([textSource(text)], {}, {});
  const { rateHz, gaps, durationS, warnings, peakRateDps } = report!;
  return {
    rateHz: Math.round(rateHz),
    rows: report!.rows,
    gaps,
    durationS,
    peakRateDps,
    warnings: warnings.join('\n'),
  };
}

const lost = (i: number) => i >= 400 && i < 412;

test.each([
  ['from 500 on', (i: number) => 500 + i],
  ['of 8 bits', (i: number) => i % 256],
  ['of 7 bits', (i: number) => i % 128],
  ['of two digits', (i: number) => i % 100],
  ['of 4 bits', (i: number) => i % 16],
])('a counter of rows %s: rows and rate as stated, and what is missing shows', async (_name, count) => {
  expect(await read(count)).toMatchObject({ rateHz: 100, rows: 1500, gaps: 0, durationS: 14.99 });
  expect(await read(count, lost)).toMatchObject({ rateHz: 100, rows: 1488, gaps: 1, durationS: 14.99 });
});

test.each([
  ['of four rows each', (i: number) => Math.floor(i / 4)],
  ['of four rows each, of 8 bits', (i: number) => Math.floor(i / 4) % 256],
  ['of four rows each, of 4 bits', (i: number) => Math.floor(i / 4) % 16],
  ['of four rows each, in tens', (i: number) => 10 * Math.floor(i / 4)],
])('a counter of packets %s is not believed, and that is said', async (_name, count) => {
  const whole = await read(count);
  expect(whole).toMatchObject({ rateHz: 100, rows: 1500, gaps: 0, durationS: 14.99 });
  expect(whole.peakRateDps).toBeCloseTo(Math.max(...take.map((s) => Math.hypot(...s.gyro))), 1);
  expect(whole.warnings).toMatch(
    /the counter in column 1 does not count the rows one by one \(1125 rows have the same number .* whether some were lost is not known/,
  );
  // What is missing cannot be seen, and no gap is made up.
  expect(await read(count, lost)).toMatchObject({ rateHz: 100, rows: 1488, gaps: 0, durationS: 14.87 });
});

test('a counter that goes up by four a row divides the stated rate, and says so', async () => {
  const { rateHz, warnings } = await read((i) => 4 * i);
  expect(rateHz).toBe(25);
  expect(warnings).toContain('goes up by 4 from row to row');
});

test('beside a clock a counter is no clock', async () => {
  const rows = rowsOf(take, [time(), (_, i) => i % 256, ...SENSORS]);
  const text = `time (s),packet,ax (g),ay (g),az (g),gx (dps),gy (dps),gz (dps)\n${rows}`;
  const { mapping, report } = await previewLog([textSource(text)], {}, {});
  expect(mapping.columns[1]).toMatchObject({ name: 'packet', role: 'ignored' });
  expect(report).toMatchObject({ rows: 1500, gaps: 0, warnings: [] });
});
