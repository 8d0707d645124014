import { describe, expect, test } from 'vitest';
import { LogFormatError } from '../../server/errors.ts';
import { isOutOfOrder } from '../../server/ingest/clock/rowOrder.ts';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { readTake } from '../../server/ingest/take/readTake.ts';
import { seededRandom } from '../seeded.ts';
import { textSource } from './logs.ts';

const ROWS = 3000;
const STEP_MS = 5;
const inOrder = Array.from({ length: ROWS }, (_, i) => i);

/** Swings between two rests, pressed in twice: [clock, rates, acceleration, button]. */
const rows = inOrder.map((i) => {
  const random = seededRandom(i + 1);
  const t = (i * STEP_MS) / 1000;
  const isSwinging = t > 3 && t < 12;
  const rate = (isSwinging ? 400 * Math.sin(7.5 * t) : 0) + random() - 0.5;
  const isDown = (i > 800 && i < 830) || (i > 1600 && i < 1640);
  return [rate, random(), random(), 0.02 * random(), 0.02 * random(), 1, isDown ? 1 : 0];
});

function logOf(order: readonly number[], clock = 'time_ms', stamp = (row: number): number => row * STEP_MS) {
  const header = `${clock},gx_dps,gy_dps,gz_dps,ax_g,ay_g,az_g,button\n`;
  const text = order.map((row) => `${stamp(row)},${rows[row]!.map((value) => value.toFixed(4)).join(',')}`);
  return textSource(`${header}${text.join('\n')}\n`, 'swings.csv');
}

const by = (key: (row: number) => number | string) =>
  [...inOrder].sort((a, b) => (key(a) < key(b) ? -1 : key(a) > key(b) ? 1 : a - b));

const ORDERS: readonly (readonly [string, readonly number[]])[] = [
  ['by a rate', by((row) => rows[row]![0]!)],
  ['by the button', by((row) => rows[row]![6]!)],
  ['by the digits of the stamps as text', by((row) => String(row * STEP_MS))],
  ['from the newest row to the oldest', [...inOrder].reverse()],
];

describe('rows that were sorted by something else than time', () => {
  test.each(ORDERS)('are asked about and never read: %s', async (_, order) => {
    for (const [clock, stamp] of [
      ['time_ms', undefined],
      ['sample', (row: number) => row],
    ] as const) {
      const { needs, isClockOpen } = await previewLog([logOf(order, clock, stamp)], { rateHz: 200 }, {});
      expect(needs).toEqual([
        expect.stringMatching(
          new RegExp(`^the rows are not in the order of column "${clock}".*sort the file`),
        ),
      ]);
      expect(isClockOpen).toBe(false);
    }
  });

  test('are not read by a mapping from before either', async () => {
    const { mapping } = await previewLog([logOf(inOrder)], {}, {});
    const read = readTake([logOf(ORDERS[1]![1])], mapping, {});
    await expect(read).rejects.toThrow(LogFormatError);
    await expect(read).rejects.toThrow(/^swings\.csv: the rows are not in the order of column "time_ms"/);
  });

  test('are counted instead where the user says that the column is no clock', async () => {
    const ignored = { rateHz: 200, roles: [{ file: 0, index: 0, role: 'ignored' as const }] };
    for (const [, order] of ORDERS) expect((await previewLog([logOf(order)], ignored, {})).needs).toEqual([]);
  });
});

describe('isOutOfOrder', () => {
  const clock = (values: readonly number[]) => Float64Array.from(values);
  const times = inOrder.map((row) => row * STEP_MS);
  const random = seededRandom(7);

  test.each<[string, readonly number[]]>([
    ['rows in order', times],
    ['gaps', times.map((ms, i) => ms + (i > 500 ? 9000 : 0) + (i > 2000 ? 70_000 : 0))],
    ['a new start from zero', [...times, ...times.map((ms) => ms + 0.4)]],
    [
      'a new start while gaps of the first run are open',
      [...times.filter((ms) => ms % 4000 < 3000), ...times.map((ms) => ms + 1.7)],
    ],
    ['two captures, the later one first', [...times.map((ms) => ms + 40_000), ...times]],
    [
      'four captures with pauses between them, written in another order',
      [2, 0, 3, 1].flatMap((k) => times.slice(0, 700).map((ms) => ms + k * 9000)),
    ],
    ['a counter of 8 bits', inOrder.map((row) => row % 256)],
    ['a clock of 16 bits that wraps', times.map((ms) => (ms + 60_000) % 65_536)],
    ['late rows', inOrder.map((row) => (row % 50 === 7 ? row + 9 : row % 50 === 16 ? row - 9 : row))],
    ['packets of eight rows, stamped within the packet', inOrder.map((row) => row % 8)],
    ['one stray stamp', times.map((ms, i) => (i === 900 ? 4e9 : ms))],
  ])('is false for %s', (_, values) => expect(isOutOfOrder(clock(values))).toBe(false));

  test('is true for every table that was shuffled, and for one with jitter that was sorted by something else', () => {
    const jittered = times.map((ms) => ms + 3 * random());
    const shuffled = jittered.map((ms) => [random(), ms] as const).sort((a, b) => a[0] - b[0]);
    expect(isOutOfOrder(clock(shuffled.map(([, ms]) => ms)))).toBe(true);
    const byButton = by((row) => rows[row]![6]!).map((row) => jittered[row]!);
    expect(isOutOfOrder(clock(byButton))).toBe(true);
  });

  test('a few rows tell nothing of their order', () =>
    expect(isOutOfOrder(clock(times.slice(0, 40).reverse()))).toBe(false));

  test('rows without a stamp count for nothing, wherever they stand', () => {
    const orders = [inOrder, by((row) => rows[row]![0]!), by((row) => String(row * STEP_MS))];
    for (const order of orders) {
      const stamps = order.map((row) => times[row]!);
      const torn = stamps.flatMap((stamp) => (random() < 0.3 ? [Number.NaN, stamp] : [stamp]));
      expect(isOutOfOrder(clock([Number.NaN, ...torn, Number.NaN]))).toBe(isOutOfOrder(clock(stamps)));
    }
  });
});
