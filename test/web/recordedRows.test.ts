import { expect, test } from 'vitest';
import { RecordedRows } from '../../web/live/recordedRows.ts';

function batch(timesUs: readonly number[]) {
  return {
    timeUs: timesUs,
    columns: [1, 2, 3, 4, 5, 6].map((channel) => timesUs.map((us) => channel * us)),
    ...NO_BUTTONS,
    leftOut: 0,
  };
}

const NO_BUTTONS = { power: [], deflection: null, tellsReleases: true };

test('keeps all rows in order, however many', () => {
  const rows = new RecordedRows();
  const times = Array.from({ length: 50_000 }, (_, i) => i * 1000);
  for (let from = 0; from < times.length; from += 7000) rows.add(batch(times.slice(from, from + 7000)));
  const log = rows.log();
  expect([...log.timeUs]).toEqual(times);
  expect(log.gyroXDps[49_999]).toBe(49_999_000);
  expect(log.accelZG[49_999]).toBe(6 * 49_999_000);
});

test('late rows are left out, and a clock that begins anew goes on behind a gap', () => {
  const rows = new RecordedRows();
  rows.add(batch([9_000_000, 9_001_000, 9_000_500, 9_002_000.4]));
  rows.add(batch([0, 1000]));
  expect([...rows.log().timeUs]).toEqual([9_000_000, 9_001_000, 9_002_000, 9_102_000, 9_103_000]);
});
