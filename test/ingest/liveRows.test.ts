import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import type { Press } from '../../server/engine/base/log.ts';
import type { Overrides } from '../../server/ingest/ground/types.ts';
import { previewAndRead } from '../../server/ingest/preview/preview.ts';
import { type LiveBatch, LiveRows } from '../../server/ingest/take/liveRows.ts';
import { seededRandom } from '../seeded.ts';

const FIXTURES = fileURLToPath(new URL('../../fixtures/', import.meta.url));
const DEMOS = readdirSync(FIXTURES).filter((name) => name.endsWith('.csv'));

/** The first lines of a demo log. */
function demoLog(name: string, lines = 4000): string {
  return readFileSync(join(FIXTURES, name), 'utf8')
    .split('\n')
    .slice(0, lines)
    .map((line) => `${line}\n`)
    .join('');
}

const PLAIN = demoLog('spinner-full-routine.csv');
const [HEADER = '', ...ROWS] = PLAIN.trimEnd().split('\n');
const NAMES = HEADER.split(',');
/** Stamps are cut to whole milliseconds in some; as a whole they are spread. */
const CUT_US = 2000;
const HEAD_LINES = 40;
const CHANNELS = ['gyroXDps', 'gyroYDps', 'gyroZDps', 'accelXG', 'accelYG', 'accelZG'] as const;

function sourceOf(text: string) {
  const bytes = Buffer.from(text);
  return {
    name: 'log.csv',
    sizeBytes: bytes.length,
    open: async function* () {
      yield bytes;
    },
  };
}

/** The log read as a whole, and line by line as it comes, cut at random. */
async function bothWays(text: string, overrides: Overrides = {}) {
  const { preview, take } = await previewAndRead([sourceOf(text)], overrides, {});
  expect(preview.needs).toEqual([]);
  const lines = text.match(/[^\n]*\n/g)!;
  const head = Buffer.from(lines.slice(0, HEAD_LINES).join(''));
  const live = await LiveRows.open(head, preview.mapping, preview.report!);
  if (typeof live === 'string') return { take: take!, batches: [], refusal: live };
  const batches: LiveBatch[] = [live.readHead()];
  const random = seededRandom(5);
  for (let from = HEAD_LINES; from < lines.length; ) {
    const to = Math.min(lines.length, from + 1 + Math.floor(60 * random()));
    batches.push(await live.read(Buffer.from(lines.slice(from, to).join(''))));
    from = to;
  }
  return { take: take!, batches, refusal: null };
}

function joined(batches: readonly LiveBatch[]) {
  return {
    timeUs: batches.flatMap(({ timeUs }) => [...timeUs]),
    columns: CHANNELS.map((_, i) => batches.flatMap(({ columns }) => [...columns[i]!])),
    power: batches.flatMap(({ power }) => [...power]),
    deflection: batches.flatMap(({ deflection }) => (deflection ? [...deflection] : [])),
    tellsReleases: batches.at(-1)?.tellsReleases,
    leftOut: batches.reduce((sum, batch) => sum + batch.leftOut, 0),
  };
}

const CELLS = ROWS.map((row) => row.split(',').slice(0, 9));
const JSON_LINES = `${CELLS.map((cells) => `{${cells.map((cell, i) => `"${NAMES[i]}":${cell}`)}}`).join('\n')}\n`;
const LABELLED = `${CELLS.map((cells) => cells.map((cell, i) => `${NAMES[i]}:${cell}`)).join('\n')}\n`;

function furthest(a: readonly number[], b: ArrayLike<number>): number {
  expect(a.length).toBe(b.length);
  return a.reduce((most, value, i) => Math.max(most, Math.abs(value - b[i]!)), 0);
}

describe('LiveRows', () => {
  test.each(DEMOS)('reads %s as it comes as it is read as a whole', async (name) => {
    const { take, batches } = await bothWays(demoLog(name));
    const { timeUs, columns, power, deflection, tellsReleases, leftOut } = joined(batches);
    for (const [i, channel] of CHANNELS.entries()) expect(columns[i]).toEqual([...take.log[channel]]);
    // Where the whole log's stamps are spread, rows as they come lie within a step of that.
    const boundUs = (take.report.evened ?? null) === null ? CUT_US : 1e6 / take.report.rateHz;
    expect(furthest(timeUs, take.log.timeUs)).toBeLessThan(boundUs);
    expect(tellsReleases).toBe(true);
    for (const [levels, button] of [
      [power, /power/i],
      [deflection, /effect/i],
    ] as const) {
      const presses = take.presses.filter((press: Press) => button.test(press.button));
      const edgesUs = (to: 0 | 1) => timeUs.filter((_, i) => levels[i] === to && (levels[i - 1] ?? 0) !== to);
      // A button that the log has, and that is never pressed, is told of where it has a column of its own.
      if (levels.length < timeUs.length) expect([button, presses]).toEqual([button, []]);
      const ups = presses.flatMap(({ upUs }) => upUs ?? []);
      expect(
        furthest(
          edgesUs(1),
          presses.map(({ downUs }) => downUs),
        ),
      ).toBeLessThan(boundUs);
      expect(furthest(edgesUs(0), ups)).toBeLessThan(boundUs);
    }
    expect(leftOut).toBe(take.report.badRowCount);
  });

  test.each([
    ['with CRLF and comments', `# lesson\n${PLAIN.replaceAll('\n', '\r\n')}`, {}],
    ['as JSON lines', JSON_LINES, {}],
    ['as lines that name each value', LABELLED, {}],
    ['with a column the other way round', PLAIN, { reversed: [{ file: 0, index: 2 }] }],
  ] as const)('reads a log %s to the bit', async (_, text, overrides) => {
    const { take, batches } = await bothWays(text, overrides);
    const { timeUs, columns } = joined(batches);
    expect(timeUs.map(Math.round)).toEqual([...take.log.timeUs]);
    for (const [i, channel] of CHANNELS.entries()) expect(columns[i]).toEqual([...take.log[channel]]);
  });

  test('counts lines that are no rows, and goes on', async () => {
    const odd = PLAIN.split('\n').flatMap((line, i) => (i % 200 === 150 ? [line, 'what is this'] : [line]));
    const { take, batches } = await bothWays(odd.join('\n'));
    const { timeUs, leftOut } = joined(batches);
    expect(leftOut).toBeGreaterThan(5);
    expect(timeUs.map(Math.round)).toEqual([...take.log.timeUs]);
  });

  test('rows of zeros and absurd values are left out', async () => {
    const { preview } = await previewAndRead([sourceOf(PLAIN)], {}, {});
    const head = Buffer.from(`${[HEADER, ...ROWS.slice(0, 100)].join('\n')}\n`);
    const live = (await LiveRows.open(head, preview.mapping, preview.report!)) as LiveRows;
    const [good] = ROWS;
    const zeros = good!.split(',').map((cell, i) => (i === 0 || i > 6 ? cell : '0'));
    const wild = good!.split(',').map((cell, i) => (i === 5 ? '1e30' : cell));
    const batch = await live.read(Buffer.from(`${zeros}\n${good}\n${wild}\n`));
    expect([batch.timeUs.length, batch.leftOut]).toEqual([1, 2]);
  });

  test('without a clock rows follow one another at the rate that was stated', async () => {
    const text = PLAIN.replace(/^[^,\n]*,/gm, '');
    const { batches } = await bothWays(text, { rateHz: 250 });
    const { timeUs } = joined(batches);
    expect(timeUs).toEqual(timeUs.map((_, i) => i * 4000));
  });

  test('stamps that come in bunches are spread, and stay with the stamps', async () => {
    const stamps = ROWS.map((row) => Number(row.split(',')[0]));
    const bunched = ROWS.map((row, i) => row.replace(/^[^,]*/, String(stamps[i - (i % 8)]! + (i % 8))));
    const { take, batches } = await bothWays(`${[HEADER, ...bunched].join('\n')}\n`);
    expect(take.report.evened).toBe('bunches');
    const { timeUs } = joined(batches);
    const stepUs = 1e6 / take.report.rateHz;
    for (let i = 1; i < timeUs.length; ++i) {
      expect(Math.abs(timeUs[i]! - timeUs[i - 1]! - stepUs)).toBeLessThan(0.2 * stepUs);
      expect(Math.abs(timeUs[i]! - i * stepUs)).toBeLessThan(8 * stepUs);
    }
  });

  test('what only the whole shows is refused in a sentence', async () => {
    const unsigned = (cell: string) => String(Math.round(Number(cell) * 16) & 0xffff);
    const codes = ROWS.map((row) =>
      row
        .split(',')
        .map((cell, i) => (i < 1 || i > 6 ? cell : unsigned(cell)))
        .join(','),
    );
    const { preview, take } = await previewAndRead([sourceOf(PLAIN)], {}, {});
    const head = Buffer.from(`${[HEADER, ...codes].join('\n')}\n`);
    expect(await LiveRows.open(head, preview.mapping, take!.report)).toContain('without a sign');
  });
});
