import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { decimalParts, partsDifference } from '../../server/ingest/text/stamps.ts';

const difference = (a: string, b: string) => partsDifference(decimalParts(a)!, decimalParts(b)!);

describe('decimal stamps', () => {
  test.each([
    ['1760565906258652201', '1760565906248623000', 10_029_201],
    ['1760565906248623001', '1760565906248623000', 1],
    ['1760565906.2586522', '1760565906.2486230', 0.0100292],
    ['1.760565906258652201e18', '1760565906248623000', 10_029_201],
    ['1.7605659062586522e9', '1.760565906248623E9', 0.0100292],
    ['0.003', '0', 0.003],
    ['5e-3', '0.002', 0.003],
    ['-1.5', '-2.25', 0.75],
    ['1000000000', '999999999', 1],
    ['-1000000001', '999999999', -2_000_000_000],
  ])('%s - %s = %d', (a, b, expected) => expect(difference(a, b)).toBeCloseTo(expected, 12));

  test.each(['', 'abc', '1.2.3', '.', '0x10', '1e50', '--1'])('%j is none', (text) => {
    expect(decimalParts(text)).toBeNull();
  });

  test('differences of 19-digit whole stamps are exact', () => {
    const stamp = fc.bigInt({ min: 10n ** 18n, max: 4n * 10n ** 18n });
    const step = fc.bigInt({ min: 0n, max: 10n ** 15n });
    fc.assert(
      fc.property(stamp, step, (start, ahead) => {
        expect(difference(String(start + ahead), String(start))).toBe(Number(ahead));
      }),
      { seed: 11 },
    );
  });
});
