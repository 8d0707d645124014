import { describe, expect, test } from 'vitest';
import {
  COLUMNS_AT_MOST,
  type FileMapping,
  type LogSource,
  type Mapping,
} from '../../server/ingest/ground/types.ts';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { readTake } from '../../server/ingest/take/readTake.ts';
import { rollingTake, rowsOf, SIX, textSource, time } from './logs.ts';

const NAMES = 't_s,gx_dps,gy_dps,gz_dps,ax_g,ay_g,az_g';
const take = rollingTake(300, 100);
const plain = textSource(`${NAMES}\n${rowsOf(take, [time(), ...SIX])}`);

/** A log whose motion is followed by so many columns that nobody needs. */
function wide(columns: number): string {
  const more = columns - 7;
  const names = Array.from({ length: more }, (_, i) => `,field ${i}`).join('');
  return `${NAMES}${names}\n${rowsOf(take.slice(0, 40), [time(), ...SIX, () => `0${',0.5'.repeat(more - 1)}`])}`;
}

/** The same source, and how many of its bytes were asked for. */
function counted(text: string): { source: LogSource; taken: () => number } {
  const source = textSource(text, 'wide.csv');
  let taken = 0;
  const open = async function* () {
    for await (const chunk of source.open()) {
      taken += chunk.length;
      yield chunk;
    }
  };
  return { source: { ...source, open }, taken: () => taken };
}

describe('a table of too many columns is refused from its first part, with line and advice', () => {
  test.each<[string, string, string]>([
    [
      'one line of 25,000 cells',
      `${'1.5,'.repeat(24_999)}2\n`,
      'wide.csv, line 1: the table has 25000 columns',
    ],
    ['one line of two megabytes', '1,'.repeat(1_000_000), 'line 1: the table has at least 26'],
    [
      'rows one column too wide',
      wide(COLUMNS_AT_MOST + 1),
      `line 1: the table has ${COLUMNS_AT_MOST + 1} columns`,
    ],
  ])('%s', async (_claim, text, why) => {
    const { source, taken } = counted(text);
    const refusal = previewLog([source], {}, {});
    await expect(refusal).rejects.toThrow(why);
    await expect(refusal).rejects.toThrow(`at most ${COLUMNS_AT_MOST} are read: export it without`);
    await expect(refusal).rejects.toMatchObject({ code: 'LOG_FORMAT', file: 'wide.csv', line: 1 });
    expect(taken()).toBeLessThan(700_000);
  });

  test('one of just as many as are read is read', async () => {
    const { mapping, needs } = await previewLog([textSource(wide(COLUMNS_AT_MOST))], {}, {});
    expect(needs).toEqual([]);
    expect(mapping.columns).toHaveLength(COLUMNS_AT_MOST);
  });
});

describe('a mapping by which no file can be cut is refused before anything is read', () => {
  const FILE_CASES: [string, Partial<FileMapping>, string][] = [
    ['a line break as delimiter', { delimiter: '\n' }, '"\\n" is no delimiter'],
    ['a carriage return', { delimiter: '\r' }, '"\\r" is no delimiter'],
    ['none', { delimiter: '' }, '"" is no delimiter'],
    ['a digit', { delimiter: '1' }, '"1" is no delimiter'],
    ['a letter', { delimiter: 'e' }, '"e" is no delimiter'],
    ['a quote', { delimiter: '"' }, 'is no delimiter'],
    ['a sign', { delimiter: '-' }, '"-" is no delimiter'],
    ['two characters', { delimiter: ', ' }, '", " is no delimiter'],
    ['no mark of a comment', { comment: '' }, '"" cannot start a comment'],
    ['a comment that starts as numbers do', { comment: '-' }, '"-" cannot start a comment'],
    ['a header below the first row', { headerLine: 9 }, 'the header stands in line 9'],
  ];
  test.each(FILE_CASES)('%s', async (_claim, change, why) => {
    const { mapping } = await previewLog([plain], {}, {});
    const broken: Mapping = { ...mapping, files: [{ ...mapping.files[0]!, ...change }] };
    let opened = 0;
    const open = () => {
      ++opened;
      return plain.open();
    };
    const source = { ...plain, open };
    await expect(readTake([source], broken, {})).rejects.toThrow(why);
    expect(opened).toBe(0);
  });

  test('a file that declares such a delimiter is read by the one it has', async () => {
    const text = `sep="\n${NAMES}\n${rowsOf(take, [time(), ...SIX])}`;
    const { mapping, report } = await previewLog([textSource(text)], {}, {});
    expect(mapping.files[0]!.delimiter).toBe(',');
    expect(report?.rows).toBe(300);
  });

  test('one declared beyond ASCII is read, byte for byte of other letters left alone', async () => {
    const rows = rowsOf(take, [time(), ...SIX, () => 'ä§'.slice(0, 1)], '§');
    const text = `sep=§\n${NAMES.replaceAll(',', '§')}§note\n${rows}`;
    const { mapping, report } = await previewLog([textSource(text)], {}, {});
    expect(mapping.files[0]!.delimiter).toBe('§');
    expect(report).toMatchObject({ rows: 300, badRowCount: 0 });
  });
});

describe('a number too large to be a measurement is a bad cell', () => {
  test.each([
    ['1e200', 'a rate', 1],
    ['-4.5E+30', 'a rate', 2],
    ['1e200', 'an acceleration', 5],
    [`9${'0'.repeat(60)}`, 'an acceleration', 6],
  ])('%s as %s', async (cell, _what, column) => {
    const lines = rowsOf(take, [time(), ...SIX]).split('\n');
    const fields = lines[150]!.split(',');
    fields[column] = cell;
    lines[150] = fields.join(',');
    const { report } = await previewLog([textSource(`${NAMES}\n${lines.join('\n')}`)], {}, {});
    expect(report).toMatchObject({ rows: 299, badRowCount: 1 });
    expect(report!.badRows[0]).toMatchObject({ line: 152, column: column + 1 });
    expect(report!.badRows[0]!.why).toMatch(/is too large to be a measurement$/);
    expect(report!.peakRateDps).toBeLessThan(100);
    expect(report!.peakAccelG).toBeLessThan(2);
  });
});
