import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { TablePlan } from '../../server/ingest/table/rawTable.ts';
import { readTable } from '../../server/ingest/table/readTable.ts';
import { parseCell } from '../../server/ingest/text/cells.ts';
import { decimalParts, partsDifference } from '../../server/ingest/text/stamps.ts';
import { textSource } from './logs.ts';

const ROLES = ['gyroX', 'gyroY', 'gyroZ', 'accelX', 'accelY', 'accelZ'] as const;

function planOf(delimiter: string, decimal: '.' | ',' = '.', columnCount = 6): TablePlan {
  const file = {
    name: 'a.csv',
    delimiter,
    decimal,
    headerLine: null,
    firstDataLine: 1,
    comment: '#',
    columnCount,
  };
  const motion = ROLES.slice(0, columnCount).map((role, index) => ({ index, role }));
  return {
    file,
    clockKind: 'none',
    clockPartDigits: 0,
    clockIndex: -1,
    motion,
    tracks: [],
    gravityFactor: 1,
    headerFields: null,
  };
}

async function scan(text: string, plan: TablePlan, chunkBytes: number): Promise<number[][]> {
  const [table] = await readTable(textSource(text, 'a.csv', chunkBytes), plan, {});
  expect(table!.badRowCount).toBe(0);
  return Array.from({ length: table!.rows }, (_, row) => table!.columns.map((column) => column[row]!));
}

/** Numbers as loggers write them: whole, short, long, tiny, as huge as is read, with sign, point at either end, exponent. */
const numberText = fc.oneof(
  fc.integer({ min: -40_000, max: 40_000 }).map(String),
  fc.double({ min: -1e25, max: 1e25, noNaN: true }).map(String),
  fc.double({ min: -2000, max: 2000, noNaN: true }).map((value) => value.toFixed(6)),
  fc
    .tuple(fc.double({ min: -20, max: 20, noNaN: true }), fc.integer({ min: 0, max: 20 }))
    .map(([value, n]) => value.toExponential(n)),
  fc.bigInt({ min: -(10n ** 25n), max: 10n ** 25n }).map(String),
  fc
    .tuple(
      fc.constantFrom('', '+', '-'),
      fc.stringMatching(/^[0-9]{0,20}$/),
      fc.stringMatching(/^[0-9]{1,25}$/),
    )
    .map(([sign, whole, part]) => `${sign}${whole}.${part}`),
  fc
    .tuple(fc.stringMatching(/^[0-9]{1,18}$/), fc.integer({ min: -330, max: 6 }))
    .map(([digits, e]) => `${digits}e${e}`),
  fc.constantFrom(
    '5.',
    '.5',
    '-0',
    '0',
    '-0.0',
    '00012',
    '9007199254740991',
    '9007199254740993',
    '1e22',
    '1e23',
    '123456789012345678',
  ),
);

describe('the byte scanner', () => {
  test.each([',', ';', '\t'])(
    'agrees with csv-parse and Number to the bit, delimiter %j',
    async (delimiter) => {
      const rows = fc.array(fc.array(numberText, { minLength: 6, maxLength: 6 }), {
        minLength: 1,
        maxLength: 12,
      });
      await fc.assert(
        fc.asyncProperty(
          rows,
          fc.constantFrom('\n', '\r\n', '\r'),
          fc.boolean(),
          fc.integer({ min: 1, max: 64 }),
          async (cells, end, isEnded, chunkBytes) => {
            const text = cells.map((row) => row.join(delimiter)).join(end) + (isEnded ? end : '');
            const records: string[][] = parse(text, { delimiter, record_delimiter: ['\r\n', '\n', '\r'] });
            const expected = records.map((record) => record.map(Number));
            const read = await scan(text, planOf(delimiter), chunkBytes);
            // Object.is tells -0 from 0; toEqual compares by it.
            expect(read).toEqual(expected);
          },
        ),
        { numRuns: 300, seed: 20260509 },
      );
    },
  );

  test('agrees with csv-parse where fields are quoted', async () => {
    const cell = fc
      .tuple(numberText, fc.boolean())
      .map(([text, isQuoted]) => (isQuoted ? `"${text}"` : text));
    const rows = fc.array(fc.array(cell, { minLength: 6, maxLength: 6 }), { minLength: 1, maxLength: 8 });
    await fc.assert(
      fc.asyncProperty(rows, async (cells) => {
        const text = cells.map((row) => row.join(',')).join('\n');
        const records: string[][] = parse(text, {});
        expect(await scan(text, planOf(','), 7)).toEqual(records.map((record) => record.map(Number)));
      }),
      { numRuns: 200, seed: 7 },
    );
  });

  test('reads decimal commas as Number reads points', async () => {
    const rows = fc.array(fc.array(numberText, { minLength: 6, maxLength: 6 }), {
      minLength: 1,
      maxLength: 8,
    });
    await fc.assert(
      fc.asyncProperty(rows, async (cells) => {
        const text = cells.map((row) => row.join(';').replaceAll('.', ',')).join('\n');
        expect(await scan(text, planOf(';', ','), 1000)).toEqual(cells.map((row) => row.map(Number)));
      }),
      { numRuns: 200, seed: 8 },
    );
  });

  test.each([
    ['blanks around numbers', ' 1 , 2,3 ,4,5,  6 \n', [1, 2, 3, 4, 5, 6]],
    ['runs of blanks and tabs', '  1 \t 2  3 4\t5   6  \n', [1, 2, 3, 4, 5, 6], ' '],
    ['a comment and a blank line between rows', '#x\n\n1,2,3,4,5,6\n', [1, 2, 3, 4, 5, 6]],
    ['a last row without a line end', '1,2,3,4,5,6', [1, 2, 3, 4, 5, 6]],
  ])('reads %s', async (_name, text, row, delimiter = ',') => {
    expect(await scan(text, planOf(delimiter), 3)).toEqual([row]);
  });

  test.each(['0x10', '1_000', 'Infinity', '1e', '.', '+', '1 2', '1.2.3', '', 'nan', '1e999'])(
    'takes %j for no number, unlike a lax reader',
    async (cell) => {
      const [table] = await readTable(textSource(`1,2,3,4,5,6\n1,2,3,4,5,${cell}\n`), planOf(','), {});
      expect([table!.rows, table!.badRowCount, table!.badRows[0]?.line]).toEqual([1, 1, 2]);
    },
  );

  test('an empty cell is no zero', () => expect(parseCell('', '.')).toBeNaN());
});

describe('stamps', () => {
  const stamp = fc.oneof(
    fc.integer({ min: 0, max: 4_000_000_000 }).map(String),
    fc.double({ min: 0, max: 4e6, noNaN: true }).map((value) => value.toFixed(6)),
    fc
      .tuple(fc.stringMatching(/^[0-9]{1,12}$/), fc.stringMatching(/^[0-9]{0,14}$/))
      .map(([whole, part]) => `${whole}.${part}`),
    fc.constantFrom('999999999', '1000000000', '123456789.123456789', '0.1234567890', '1e3', ' 7'),
  );

  test('say the same at any length and in any place', async () => {
    const plan = { ...planOf(',', '.', 3), clockKind: 'decimal', clockIndex: 1 } as const;
    const motion = plan.motion.filter(({ index }) => index !== 1);
    await fc.assert(
      fc.asyncProperty(fc.array(stamp, { minLength: 1, maxLength: 12 }), async (stamps) => {
        const text = stamps.map((cell) => `1,${cell},2\n`).join('');
        const [table] = await readTable(textSource(text, 'a.csv', 64), { ...plan, motion }, {});
        const base = decimalParts(stamps[0]!.trim())!;
        expect([...table!.clock]).toEqual(
          stamps.map((cell) => partsDifference(decimalParts(cell.trim())!, base)),
        );
      }),
      { numRuns: 500, seed: 11 },
    );
  });
});

test('bytes behind a point that are no digits make no number', async () => {
  for (let byte = 32; byte < 127; ++byte) {
    const odd = String.fromCharCode(byte);
    if (/[\d",#eE]/.test(odd)) continue;
    for (const cell of [`1.${odd}234`, `1.2${odd}34`, `1.23${odd}4`, `1.234${odd}`, `1.2345${odd}`]) {
      const [table] = await readTable(
        textSource(`${cell},0.5,2\n1.5,0.5,2\n`, 'a.csv'),
        planOf(',', '.', 3),
        {},
      );
      const value = parseCell(cell, '.');
      expect([...table!.columns[0]!]).toEqual(Number.isNaN(value) ? [1.5] : [value, 1.5]);
    }
  }
});
