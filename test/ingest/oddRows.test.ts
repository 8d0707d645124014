import { describe, expect, test } from 'vitest';
import type { LogReport, Overrides } from '../../server/ingest/ground/types.ts';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { readTake } from '../../server/ingest/take/readTake.ts';
import { rollingTake, rowsOf, SIX, textSource } from './logs.ts';

const NAMES = 'gx_dps,gy_dps,gz_dps,ax_g,ay_g,az_g';

async function reportOf(text: string, stated: Overrides = {}): Promise<LogReport> {
  const { report, needs } = await previewLog([textSource(text)], stated, {});
  expect(needs).toEqual([]);
  return report!;
}

describe('captures joined without a clock', () => {
  const lines = rowsOf(rollingTake(600, 100), [...SIX])
    .trimEnd()
    .split('\n');
  const withLines = (...extra: readonly [number, string][]) =>
    [
      NAMES,
      ...lines.flatMap((line, i) => [...extra.flatMap(([at, text]) => (at === i ? [text] : [])), line]),
    ].join('\n');
  test.each([
    ['a blank line', withLines([200, '']), 1],
    ['two blank lines, one of them doubled', withLines([200, ''], [400, ''], [400, '']), 2],
    ['the header again', withLines([300, NAMES]), 1],
    ['a line of words', withLines([300, 'capture 2']), 1],
    ['a comment that names a take', `# rig\n${withLines([300, '# take 2'])}`, 1],
    ['a comment that names none', `# rig\n${withLines([300, '# battery 3.8 V'])}`, 0],
    ['a blank line below the header and at the end', `${withLines([0, ''])}\n\n`, 0],
    ['a blank line below every row', `${NAMES}\n${lines.join('\n\n')}`, 0],
  ])('%s', async (_what, text, gaps) => {
    const report = await reportOf(text, { rateHz: 100 });
    expect(report).toMatchObject({ rows: 600, gaps });
    expect(report.warnings.some((warning) => warning.includes('end'))).toBe(gaps > 0);
  });

  test('a counter that goes on across the blank line', async () => {
    const text = withLines([250, '']).split('\n');
    let row = 0;
    const counted = text.map((line, i) =>
      i === 0 ? `sample,${line}` : line === '' ? '' : `${row++},${line}`,
    );
    expect(await reportOf(counted.join('\n'), { rateHz: 100 })).toMatchObject({ rows: 600, gaps: 1 });
  });

  test('a row that cannot be read took its time all the same', async () => {
    const text = withLines().replace(lines[300]!, '?,?,1,1,1,1');
    const report = await reportOf(text, { rateHz: 100 });
    expect(report).toMatchObject({ rows: 599, badRowCount: 1 });
    expect(report.durationS).toBeCloseTo(5.99, 6);
  });
});

describe('rows of zeros alone', () => {
  const take = rollingTake(600, 100);
  const rows = rowsOf(take, [(s) => s.t.toFixed(2), ...SIX])
    .trimEnd()
    .split('\n');
  const head = `time_s,${NAMES}`;
  test.each([
    ['at the end, the clock too', [...rows, ...Array(80).fill('0,0,0,0,0,0,0')], 600, 0],
    [
      'in the middle',
      rows.map((row, i) => (i >= 300 && i < 350 ? `${row.split(',')[0]},0,0,0,0,0,0` : row)),
      550,
      1,
    ],
    ['one row', rows.map((row, i) => (i === 300 ? `${row.split(',')[0]},0,0,0,0,0,0` : row)), 599, 0],
    ['at the start', [...Array(30).fill('0,0,0,0,0,0,0'), ...rows.slice(1)], 599, 0],
  ])('%s', async (_what, lines, kept, gaps) => {
    const report = await reportOf([head, ...lines].join('\n'));
    expect(report).toMatchObject({ rows: kept, gaps, duplicates: 0, backwards: 0, badRowCount: 0 });
    expect(report.warnings.join('\n')).toMatch(/zeros alone \(lines? \d+/);
  });

  test('an acceleration without gravity may rest at zero', async () => {
    const coarse = take.map(({ t }, i) => {
      const moves = i % 200 >= 150 ? (1 + (i % 7)) / 10 : 0;
      return `${t.toFixed(2)},${moves * 90},0,0,${moves},0,0`;
    });
    const report = await reportOf(['time_s,gx_dps,gy_dps,gz_dps,ax_g,ay_g,az_g', ...coarse].join('\n'));
    expect(report.rows).toBe(600);
  });
});

describe('absurd values', () => {
  const take = rollingTake(600, 100);
  const rows = rowsOf(take, [(s) => s.t.toFixed(2), ...SIX])
    .trimEnd()
    .split('\n');
  const spoilt = (cells: readonly (readonly [number, number, string])[]) => {
    const lines = rows.map((row) => row.split(','));
    for (const [row, column, text] of cells) lines[row]![column] = text;
    return `time_s,${NAMES}\n${lines.map((line) => line.join(',')).join('\n')}`;
  };
  test.each([
    [
      '1e30 and more',
      [
        [100, 1, '1e30'],
        [300, 5, '-9.9e37'],
        [500, 6, '3.4028235e+38'],
      ],
    ],
    [
      'the largest of 32 bits',
      [
        [100, 2, '2147483647'],
        [220, 4, '-2147483648'],
      ],
    ],
    [
      'nines',
      [
        [100, 2, '99999'],
        [250, 6, '9999'],
      ],
    ],
    [
      'absurd ones of several sizes',
      [
        [100, 2, '1e9'],
        [101, 3, '1e15'],
        [400, 2, '50000000'],
      ],
    ],
  ] as const)('%s are bad cells, listed, and no peak', async (_what, cells) => {
    const report = await reportOf(spoilt(cells));
    expect(report).toMatchObject({ rows: 600 - cells.length, badRowCount: cells.length, gaps: 0 });
    expect(report.badRows.map(({ line, column }) => [line, column])).toEqual(
      cells.map(([row, column]) => [row + 2, column + 1]),
    );
    expect(report.peakRateDps).toBeLessThan(75);
    expect(report.peakAccelG).toBeLessThan(1.1);
  });

  test('a hard hit at rest is no absurd value', async () => {
    const report = await reportOf(
      spoilt([
        [50, 4, '15.9'],
        [51, 5, '-8'],
      ]),
    );
    expect(report).toMatchObject({ rows: 600, badRowCount: 0 });
    expect(report.peakAccelG).toBeGreaterThan(15);
  });

  test('they are left out alike when the take is read again', async () => {
    const source = textSource(spoilt([[100, 1, '1e9']]));
    const { mapping, report } = await previewLog([source], {}, {});
    expect((await readTake([source], mapping, {})).report).toEqual(report);
  });
});
