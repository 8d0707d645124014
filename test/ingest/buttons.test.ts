import { describe, expect, test } from 'vitest';
import type { LogReport, Overrides } from '../../server/ingest/ground/types.ts';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { rollingTake, rowsOf, SIX, textSource, time } from './logs.ts';

const NAMES = 'time_s,gx_dps,gy_dps,gz_dps,ax_g,ay_g,az_g';
const take = rollingTake(600, 100);
const rows = rowsOf(take, [time(1, 2), ...SIX])
  .trimEnd()
  .split('\n');
/** Down in rows 150 to 189 and 400 to 429. */
const isDown = (i: number) => (i >= 150 && i < 190) || (i >= 400 && i < 430);
const isFirst = (i: number) => i === 150 || i === 400;
const isBehind = (i: number) => i === 190 || i === 430;

async function read(name: string, cell: (i: number) => string, stated: Overrides = {}, above = '') {
  const text = `${above}${NAMES},${name}\n${rows.map((row, i) => `${row},${cell(i)}`).join('\n')}`;
  const { report, needs } = await previewLog([textSource(text)], stated, {});
  expect(needs).toEqual([]);
  return report!;
}

const counts = ({ presses }: LogReport) => presses.map(({ count }) => count);
const unitOf = ({ columns }: LogReport) => columns[7]!.unit;
const said = ({ warnings }: LogReport) => warnings.join('\n');

describe('states in words', () => {
  test.each([
    ['idle and pressed', 'button', (i: number) => (isDown(i) ? 'pressed' : 'idle')],
    [
      'idle, pressed, held and released',
      'button',
      (i: number) => (isFirst(i) ? 'pressed' : isDown(i) ? 'held' : isBehind(i) ? 'released' : 'idle'),
    ],
    [
      'released and pressed, with no button in the name',
      'state',
      (i: number) => (isDown(i) ? 'pressed' : 'released'),
    ],
    ['not pressed and pressed', 'btn', (i: number) => (isDown(i) ? 'pressed' : 'not pressed')],
    ['unpressed and pressed', 'btn', (i: number) => (isDown(i) ? 'PRESSED' : 'UNPRESSED')],
    ['up and down', 'key', (i: number) => (isDown(i) ? 'DOWN' : 'UP')],
    ['inactive and active', 'switch', (i: number) => (isDown(i) ? 'active' : 'inactive')],
    ['a German button', 'Taster', (i: number) => (isDown(i) ? '1' : '0')],
    [
      'a word that is neither, among known ones',
      'button',
      (i: number) => (isDown(i) ? 'pressed' : i === 300 ? 'bounce' : 'idle'),
    ],
  ])('%s', async (_what, name, cell) => {
    const report = await read(name, cell);
    expect(counts(report)).toEqual([2]);
  });

  test('events among rows in which nothing happens', async () => {
    const report = await read('button', (i) => (isFirst(i) ? 'pressed' : isBehind(i) ? 'released' : 'idle'));
    expect(counts(report)).toEqual([2]);
  });

  test('pressed for most of the take is pressed, and doubted', async () => {
    const report = await read('button', (i) => (i < 500 ? 'pressed' : 'released'));
    expect(counts(report)).toEqual([1]);
    expect(said(report)).toMatch(/button is down for 8\d % of the take/);
  });

  test('a word that is not known makes no press, and is named', async () => {
    const report = await read('button', (i) => (i === 300 ? 'bounce' : isDown(i) ? 'pressed' : 'idle'));
    expect(said(report)).toContain('"bounce"');
  });

  test('names of buttons are said to be taken for such', async () => {
    const report = await read('button', (i) => (isDown(i) ? 'power' : ''));
    expect(report.presses).toEqual([{ button: 'power', count: 2 }]);
    expect(said(report)).toMatch(/"power", taken as the name of the button/);
  });
});

describe('levels', () => {
  test.each([
    ['btn_n', ''],
    ['nBTN', ''],
    ['button (low when pressed)', ''],
    ['button_active_low', ''],
    ['button [0=pressed]', ''],
    ['button', '# the button is low when pressed\n'],
  ])('low when pressed, and named so: %s %s', async (name, above) => {
    const report = await read(name, (i) => (isDown(i) ? '0' : '1'), {}, above);
    expect(unitOf(report)).toBe('activeLow');
    expect(counts(report)).toEqual([2]);
    expect(said(report)).not.toMatch(/level|down for/);
  });

  test('high for most of the take, and nothing says why: taken as low when pressed, aloud', async () => {
    const report = await read('button', (i) => (isDown(i) ? '0' : '1'));
    expect(counts(report)).toEqual([2]);
    expect(said(report)).toMatch(/rests at its high level: low is taken as pressed/);
  });

  test('the user may say that high is pressed', async () => {
    const roles = [{ file: 0, index: 7, role: 'button', unit: 'activeHigh' } as const];
    const report = await read('button', (i) => (isDown(i) ? '0' : '1'), { roles });
    expect(counts(report)).toEqual([3]);
    expect(said(report)).toMatch(/button is down for 88 % of the take/);
  });

  test('down from the first row on is doubted', async () => {
    const report = await read('button', (i) => (i < 40 || isDown(i) ? '1' : '0'));
    expect(counts(report)).toEqual([3]);
    expect(said(report)).toMatch(/button is down from the first row on/);
  });

  test('the same level throughout tells no press', async () => {
    const report = await read('button', () => '1');
    expect(counts(report)).toEqual([]);
    expect(said(report)).toMatch(/button reads 1 throughout/);
  });

  test('a bit for each button', async () => {
    const report = await read('buttons', (i) => String((isDown(i) ? 1 : 0) + (i >= 160 && i < 180 ? 4 : 0)));
    expect(report.presses).toEqual([
      { button: 'buttons', count: 2 },
      { button: 'buttons 4', count: 1 },
    ]);
  });
});

describe('a voltage or a count at the pin', () => {
  const noise = (i: number) => (i * 7919) % 13;
  test.each([
    ['10 bits, high when pressed', (i: number) => String((isDown(i) ? 1000 : 8) + noise(i)), /^above:5\d\d$/],
    ['10 bits, low when pressed', (i: number) => String((isDown(i) ? 3 : 1005) + noise(i)), /^below:5\d\d$/],
    ['12 bits, pulled up', (i: number) => String((isDown(i) ? 20 : 4060) + noise(i)), /^below:20\d\d$/],
    ['volts', (i: number) => ((isDown(i) ? 3.2 : 0.02) + noise(i) / 500).toFixed(3), /^above:1\.6\d?$/],
  ])('%s', async (_what, cell, unit) => {
    const report = await read('button', cell);
    expect(unitOf(report)).toMatch(unit);
    expect(counts(report)).toEqual([2]);
  });

  test('values near no two levels are no button', async () => {
    const report = await read('button', (i) => String((i * 37) % 1024));
    expect(report.columns[7]!.role).toBe('ignored');
  });
});

test('rows of events among the samples', async () => {
  const lines = rows.flatMap((row, i) => [
    `${row},`,
    ...(isFirst(i) ? [`${row.split(',')[0]},,,,,,,pressed`] : []),
    ...(isBehind(i) ? [`${row.split(',')[0]},,,,,,,released`] : []),
  ]);
  const { report } = await previewLog([textSource([`${NAMES},event`, ...lines].join('\n'))], {}, {});
  expect(report).toMatchObject({ rows: 600, badRowCount: 0, presses: [{ button: 'event', count: 2 }] });
});

test('a button that only the rows of one sensor carry', async () => {
  const lines = rows.map((row, i) => {
    const [t, gx, gy, gz, ax, ay, az] = row.split(',');
    return i % 3 === 0 ? `${t},,,,${ax},${ay},${az},` : `${t},${gx},${gy},${gz},,,,${isDown(i) ? 1 : 0}`;
  });
  const { report } = await previewLog([textSource([`${NAMES},button`, ...lines].join('\n'))], {}, {});
  expect(report!.presses).toEqual([{ button: 'button', count: 2 }]);
});
