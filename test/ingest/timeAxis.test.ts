import { describe, expect, test } from 'vitest';
import { cleanClock } from '../../server/ingest/clock/timeAxis.ts';

/** Rows whose values differ from one another, so that only equal rows given on purpose are equal. */
function clean(
  stamps: readonly number[],
  options: { base?: number; unitUs?: number; values?: readonly number[] } = {},
) {
  const { base = stamps[0]!, unitUs = 1, values = stamps.map((_, i) => i) } = options;
  const clock = Float64Array.from(stamps, (stamp) => stamp - stamps[0]!);
  const axis = cleanClock(clock, base, unitUs, [Float64Array.from(values)]);
  const order = axis.order ? [...axis.order] : stamps.map((_, i) => i);
  return { ...axis, order, timeUs: order.map((row) => axis.rowUs[row]!) };
}

const regular = (count: number, step: number, from = 0) =>
  Array.from({ length: count }, (_, i) => from + i * step);

describe('counters that wrap', () => {
  // A 32-bit microsecond counter: 4294967290 then 5 are 11 us apart.
  test('2^32 us', () => {
    const { timeUs, wraps, wrapAt } = clean([4_294_967_268, 4_294_967_279, 4_294_967_290, 5, 16, 27]);
    expect(timeUs).toEqual([0, 11, 22, 33, 44, 55]);
    expect([wraps, wrapAt]).toEqual([1, 2 ** 32]);
  });

  // A 32-bit millisecond counter wraps after 49.71 days.
  test('2^32 ms', () => {
    const { timeUs, wraps } = clean([4_294_967_286, 4_294_967_291, 0, 5, 10], { unitUs: 1000 });
    expect(timeUs).toEqual([0, 5000, 10_000, 15_000, 20_000]);
    expect(wraps).toBe(1);
  });

  test('2^16 packets, twice', () => {
    const packets = regular(140_000, 1, 60_000).map((packet) => packet % 65_536);
    const { timeUs, wraps, wrapAt, restarts } = clean(packets, { unitUs: 1e4 });
    expect(timeUs).toEqual(regular(140_000, 1e4));
    expect([wraps, wrapAt, restarts]).toEqual([3, 65_536, 0]);
  });

  test('signed 32 bits', () => {
    expect(clean([2_147_483_637, 2_147_483_647, -2_147_483_639, -2_147_483_629]).timeUs).toEqual([
      0, 10, 20, 30,
    ]);
  });

  test('a microsecond counter shown in seconds', () => {
    const stamps = [4294.947295, 4294.957295, 4294.967295, 0.009999, 0.019999];
    expect(clean(stamps, { unitUs: 1e6 }).timeUs).toEqual(
      [0, 10_000, 20_000, 30_000, 40_000].map((t) => expect.closeTo(t, -0.3)),
    );
  });

  test('lost rows across the wrap stay lost', () => {
    expect(clean([4_294_967_000, 4_294_967_100, 4_294_967_200, 204, 304]).timeUs).toEqual([
      0, 100, 200, 500, 600,
    ]);
  });

  test('a fall to zero far from any modulus is a restart, not a wrap', () => {
    const { wraps, restarts } = clean([...regular(50, 1, 1000), ...regular(50, 1)]);
    expect([wraps, restarts]).toEqual([0, 1]);
  });
});

describe('order', () => {
  test('a restart of the clock becomes a gap of four steps', () => {
    const { timeUs, restarts, backwards } = clean([...regular(30, 10_000), ...regular(30, 10_000)]);
    expect(timeUs.slice(29, 32)).toEqual([290_000, 330_000, 340_000]);
    expect([restarts, backwards]).toEqual([1, 1]);
  });

  test('rows that come a little late are sorted and counted', () => {
    const stamps = regular(20, 10_000);
    [stamps[7], stamps[8]] = [stamps[8]!, stamps[7]!];
    const { order, timeUs, backwards, restarts } = clean(stamps);
    expect(timeUs).toEqual(regular(20, 10_000));
    expect(order.slice(6, 10)).toEqual([6, 8, 7, 9]);
    expect([backwards, restarts]).toEqual([1, 0]);
  });

  test.each([
    ['forward', 90_000_000],
    ['back', -90_000_000],
  ])('one stamp that leaps far %s is left out', (_name, leap) => {
    const stamps = regular(20, 10_000);
    stamps[9] = 90_000 + leap;
    const { order, strays, restarts, backwards, timeUs } = clean(stamps);
    expect(order).not.toContain(9);
    expect([...strays]).toEqual([9]);
    expect([restarts, backwards]).toEqual([0, 1]);
    expect(timeUs.at(-1)).toBe(190_000);
  });

  test('a gap forward stays a gap', () => {
    const stamps = [...regular(20, 10_000), ...regular(20, 10_000, 5_000_000)];
    expect(clean(stamps).timeUs).toEqual(stamps);
  });
});

describe('repeated stamps', () => {
  test('a row that repeats the one before is dropped and counted', () => {
    const stamps = [0, 10_000, 10_000, 20_000, 30_000, 40_000, 50_000, 60_000, 70_000];
    const { order, duplicates } = clean(stamps, { values: [1, 2, 2, 3, 4, 5, 6, 7, 8] });
    expect(duplicates).toBe(1);
    expect(order).toEqual([0, 1, 3, 4, 5, 6, 7, 8]);
  });

  test('rows that share coarse stamps are spread evenly', () => {
    const stamps = Array.from({ length: 400 }, (_, i) => Math.floor(i / 4) * 1000);
    const { timeUs, duplicates, mended } = clean(stamps);
    expect(duplicates).toBe(0);
    expect(timeUs).toEqual(regular(400, 250));
    expect(mended).toEqual([{ kind: 'sharedStamps', stepUs: 1000, rows: 300 }]);
  });

  test('whole seconds with 50 rows each are spread evenly', () => {
    const stamps = Array.from({ length: 500 }, (_, i) => Math.floor((i + 13) / 50));
    const { timeUs } = clean(stamps, { unitUs: 1e6 });
    for (let i = 1; i < timeUs.length; ++i) expect(timeUs[i]! - timeUs[i - 1]!).toBeCloseTo(20_000, -3);
  });

  // A row lost now and then at 100 Hz: the others keep their stamps, which in seconds are no exact multiples.
  test('single lost rows move no stamp', () => {
    const kept = Array.from({ length: 400 }, (_, i) => i).filter((i) => i % 20 !== 13);
    const { timeUs, mended } = clean(
      kept.map((i) => Number((i / 100).toFixed(4))),
      { unitUs: 1e6 },
    );
    expect(timeUs).toEqual(kept.map((i) => i * 10_000));
    expect(mended).toEqual([]);
  });

  test('coarse stamps are not spread across a gap', () => {
    const stamps = Array.from({ length: 400 }, (_, i) => Math.floor(i / 4) * 1000 + (i >= 200 ? 500_000 : 0));
    const { timeUs } = clean(stamps);
    expect(timeUs[200]! - timeUs[199]!).toBeGreaterThan(490_000);
  });

  // 104 Hz in whole milliseconds: steps of 9 and 10 ms.
  test('stamps cut to milliseconds at 104 Hz become even', () => {
    const stamps = Array.from({ length: 1040 }, (_, i) => Math.floor((i * 1000) / 104));
    const { timeUs } = clean(stamps, { unitUs: 1000 });
    const steps = timeUs.slice(1).map((t, i) => t - timeUs[i]!);
    expect(Math.min(...steps)).toBeGreaterThan(9605);
    expect(Math.max(...steps)).toBeLessThan(9626);
  });

  test('stamps that jitter by themselves stay as they are', () => {
    const stamps = Array.from({ length: 500 }, (_, i) => i * 10 + ((i * 7919) % 5) - 2);
    expect(clean(stamps, { unitUs: 1000 }).timeUs).toEqual(
      stamps.map((stamp) => (stamp - stamps[0]!) * 1000),
    );
  });
});

test('times are whole microseconds and strictly increasing', () => {
  const stamps = Array.from({ length: 1000 }, (_, i) => i * 0.37);
  const { timeUs } = clean(stamps);
  for (let i = 1; i < timeUs.length; ++i) {
    expect(Number.isInteger(timeUs[i]!)).toBe(true);
    expect(timeUs[i]!).toBeGreaterThan(timeUs[i - 1]!);
  }
});

test('a row that stands alone between two gaps leaves the rows behind it evenly spread', () => {
  const rateHz = 952;
  const rows = [...regular(500, 1), 1500, ...regular(6000, 1, 2500)];
  const { timeUs } = clean(
    rows.map((row) => Math.floor((1000 * row) / rateHz)),
    { unitUs: 1000 },
  );
  const steps = timeUs.slice(502).map((us, i) => us - timeUs[501 + i]!);
  // Whole milliseconds would step by 1000 and 2000 us; the pace is 1050.4.
  expect(Math.min(...steps)).toBeGreaterThan(1045);
  expect(Math.max(...steps)).toBeLessThan(1055);
});
