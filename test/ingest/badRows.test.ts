import { describe, expect, test } from 'vitest';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { rollingTake, rowsOf, SIX, textSource, time } from './logs.ts';

const HEADER = 't_s,gx_dps,gy_dps,gz_dps,ax_g,ay_g,az_g\n';
const lines = rowsOf(rollingTake(300, 100), [time(), ...SIX])
  .trimEnd()
  .split('\n');

/** The log with line `index` of the data (from 0) replaced; the header is line 1. */
function withLine(index: number, text: string): string {
  return `${HEADER}${lines.map((line, i) => (i === index ? text : line)).join('\n')}\n`;
}

async function report(text: string) {
  const preview = await previewLog([textSource(text)], {}, {});
  return preview.report!;
}

describe('a row that cannot be used is left out, counted, and named by its line', () => {
  test.each([
    ['nan in a rate', '0.5000,nan,0,0,0,0,1', 2, '"nan" stands for no value'],
    ['infinite', '0.5000,0,inf,0,0,0,1', 3, '"inf" stands for no value'],
    ['beyond every number', '0.5000,0,0,1e999,0,0,1', 4, '"1e999" is no number'],
    ['an empty cell', '0.5000,0,0,0,,0,1', 5, 'the cell is empty'],
    ['text', '0.5000,0,0,0,0,oops,1', 6, '"oops" is no number'],
    ['too few fields', '0.5000,0,0', null, 'too few fields (3 of 7)'],
    ['too many fields', '0.5000,0,0,0,0,0,1,9', null, 'too many fields (8, not 7)'],
    ['a missing stamp', ',0,0,0,0,0,1', 1, 'the time is missing'],
    ['a stamp that is none', 'soon,0,0,0,0,0,1', 1, '"soon" is no time stamp'],
    ['commas only', ',,,,,,', null, 'every cell of the row is empty'],
    ['the header again', HEADER.trim(), 1, 'the header again'],
    ['text behind a closing quote', '"0.5000" ,0,0,0,0,0,1', null, 'text follows a closing quote'],
    ['a quote that never closes', '"0.5000,0,0,0,0,0,1', null, 'a quote is never closed'],
  ])('%s', async (_name, row, column, why) => {
    const { badRows, badRowCount, rows, warnings } = await report(withLine(50, row));
    expect(badRows).toEqual([{ file: 'take.csv', line: 52, column, why }]);
    expect([badRowCount, rows]).toEqual([1, 299]);
    expect(warnings.join()).toContain('1 row could not be used');
  });

  test('a last row that is cut off', async () => {
    const { badRows, rows } = await report(HEADER + lines.join('\n').slice(0, -30));
    expect(badRows).toEqual([
      {
        file: 'take.csv',
        line: 301,
        column: null,
        why: expect.stringContaining('the file ends in the middle of this row'),
      },
    ]);
    expect(rows).toBe(299);
  });

  test('a last row without a line end is whole', async () => {
    expect((await report(HEADER + lines.join('\n'))).rows).toBe(300);
  });

  test('a stray stamp is named by its line too', async () => {
    const { badRows } = await report(withLine(50, lines[50]!.replace(/^[^,]*/, '9999.0')));
    expect(badRows).toEqual([
      expect.objectContaining({ line: 52, column: 1, why: expect.stringContaining('far from those') }),
    ]);
  });

  test('lines are counted through comments, blank lines and quoted line ends', async () => {
    const text = `# one\n\n"t_s","gx\ndps",gy_dps,gz_dps,ax_g,ay_g,az_g\n# two\n${lines.join('\n')}\n\n# end\n9,9\n`;
    expect((await report(text)).badRows).toEqual([expect.objectContaining({ line: 308 })]);
  });

  test('the first 200 are listed, all are counted', async () => {
    const text = HEADER + lines.map((line) => `${line}\n${line.split(',')[0]},x,0,0,0,0,0\n`).join('');
    const { badRows, badRowCount, rows } = await report(text);
    expect([badRows.length, badRowCount, rows]).toEqual([200, 300, 300]);
  });

  test('nan in a column that is not used spoils no row', async () => {
    const text = `${HEADER.trim()},opt_x\n${lines.map((line) => `${line},nan`).join('\n')}\n`;
    expect(await report(text)).toMatchObject({ badRowCount: 0, rows: 300 });
  });
});

describe('rows of one sensor only', () => {
  const halves = lines.flatMap((line, i) => {
    const cells = line.split(',');
    const later = (Number(cells[0]) + 0.003).toFixed(4);
    const isDown = i > 100 && i < 120;
    return [
      [...cells.slice(0, 4), '', '', '', Number(isDown)].join(','),
      [later, '', '', '', ...cells.slice(4), Number(isDown)].join(','),
    ];
  });

  test('sensors that take turns are joined on time', async () => {
    const preview = await previewLog([textSource(`${HEADER.trim()},button\n${halves.join('\n')}\n`)], {}, {});
    expect(preview.report).toMatchObject({
      badRowCount: 0,
      rows: 299,
      presses: [{ button: 'button', count: 1 }],
    });
    expect(preview.report!.warnings.join()).toContain('rows of their own');
    expect(preview.report!.rateHz).toBeCloseTo(100, 2);
  });

  test('a few of them are bad rows', async () => {
    const { badRows, badRowCount } = await report(withLine(50, halves[100]!.replace(/,\d$/, '')));
    expect(badRowCount).toBe(1);
    expect(badRows[0]).toMatchObject({ line: 52, column: 5, why: 'the cell is empty' });
  });
});
