import { basename } from 'node:path';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { sourceFileNames } from '../../server/store/sourceFiles.ts';

describe('sourceFileNames', () => {
  test.each([
    ['a plain name stays', ['take 01.csv'], ['take 01.csv']],
    ['letters of any script stay', ['Übung_振る.csv'], ['Übung_振る.csv']],
    ['a path becomes a name', ['../../etc/passwd'], ['_.._etc_passwd']],
    ['a path of another system too', ['C:\\logs\\a.csv'], ['C__logs_a.csv']],
    ['no name is hidden', ['.profile'], ['profile']],
    ['dots alone are no name', ['..'], ['log']],
    ['names that Windows keeps for itself are changed', ['con.csv', 'NUL'], ['_con.csv', '_NUL']],
    [
      'two alike are told apart, also where capitals do not count',
      ['a.csv', 'a.csv', 'A.csv'],
      ['a.csv', '2-a.csv', '3-A.csv'],
    ],
    ['a long name keeps its end', [`${'x'.repeat(300)}.csv`], [`${'x'.repeat(96)}.csv`]],
  ])('%s', (_claim, names, expected) => {
    expect(sourceFileNames(names)).toEqual(expected);
  });

  test('whatever the names, each file name is one plain path part and no two are alike', () => {
    // Any code units, halves of surrogate pairs too.
    const name = fc
      .array(fc.nat({ max: 0xffff }), { maxLength: 130 })
      .map((units) => String.fromCharCode(...units));
    fc.assert(
      fc.property(fc.array(name, { maxLength: 5 }), (names) => {
        const files = sourceFileNames(names);
        for (const file of files) {
          expect(basename(file)).toBe(file);
          expect(file).toMatch(/^[^.\0/\\][^\0/\\]*$/u);
          expect(file.length).toBeLessThanOrEqual(110);
        }
        expect(new Set(files.map((file) => file.toLowerCase())).size).toBe(files.length);
      }),
      { seed: 7, numRuns: 50 },
    );
  });
});
