import { CalcCascades } from 'fili';
import { describe, expect, test } from 'vitest';
import { magnitudeAt, type Section } from '../../../server/engine/filter/biquad.ts';
import { designHighPass, designLowPass } from '../../../server/engine/filter/butterworth.ts';
import { expand } from '../../reference/filter.ts';
import { fc } from '../properties.ts';

// W3C Audio EQ Cookbook (R. Bristow-Johnson, Working Group Note 2021), Q = 1/√2 [recomputed to 15 digits]
const COOKBOOK: readonly [string, 'low' | 'high', number, number, readonly number[]][] = [
  [
    '10 of 100 Hz',
    'low',
    10,
    100,
    [0.0674552738890719, 0.134910547778144, 0.0674552738890719, -1.1429805025399, 0.412801598096189],
  ],
  [
    '5 of 104 Hz',
    'low',
    5,
    104,
    [0.0187047213507847, 0.0374094427015693, 0.0187047213507847, -1.57757327924063, 0.652392164643772],
  ],
  [
    '50 of 1000 Hz',
    'low',
    50,
    1000,
    [0.0200833655642113, 0.0401667311284225, 0.0200833655642113, -1.56101807580072, 0.641351538057563],
  ],
  [
    '1 of 48 kHz',
    'low',
    1000,
    48000,
    [0.00391612666054738, 0.00783225332109477, 0.00391612666054738, -1.81534108270457, 0.831005589346758],
  ],
  [
    'a quarter of the rate: 1 - 1/√2 and 3 - 2√2',
    'low',
    1,
    4,
    [1 - Math.SQRT1_2, 2 - Math.SQRT2, 1 - Math.SQRT1_2, 0, 3 - 2 * Math.SQRT2],
  ],
  [
    '10 of 100 Hz',
    'high',
    10,
    100,
    [0.638945525159022, -1.27789105031804, 0.638945525159022, -1.1429805025399, 0.412801598096189],
  ],
  [
    '0.5 of 100 Hz',
    'high',
    0.5,
    100,
    [0.97803047920656, -1.95606095841312, 0.97803047920656, -1.95557824031504, 0.956543676511203],
  ],
];

test.each(COOKBOOK)(
  '%s, %s-pass: the coefficients of the Audio EQ Cookbook',
  (_, kind, cutoffHz, sampleHz, row) => {
    const [section] =
      kind === 'low' ? designLowPass(2, cutoffHz, sampleHz) : designHighPass(2, cutoffHz, sampleHz);
    const { b0, b1, b2, a1, a2 } = section!;
    [b0, b1, b2, a1, a2].forEach((value, k) => {
      expect(value).toBeCloseTo(row[k]!, 13);
    });
  },
);

test('order 4, 10 of 100 Hz: the published direct form', () => {
  // S. Butterworth, Wireless Engineer 7, 1930, by bilinear transform [recomputed; fili gives the same sections]
  const { b, a } = expand(designLowPass(4, 10, 100));
  const b0 = 0.004824343358;
  [b0, 4 * b0, 6 * b0, 4 * b0, b0].forEach((value, k) => {
    expect(b[k]!).toBeCloseTo(value, 10);
  });
  [1, -2.369513007182, 2.313988414416, -1.054665405879, 0.187379492368].forEach((value, k) => {
    expect(a[k]!).toBeCloseTo(value, 11);
  });
});

describe('fili, an independent library, designs the same', () => {
  const calc = new CalcCascades();
  test.each([
    [100, 10],
    [104, 5],
    [400, 25],
    [1000, 120],
    [1000, 1],
  ])('at %d Hz with a cutoff of %d Hz', (Fs, Fc) => {
    const filter = { characteristic: 'butterworth' as const, Fs, Fc };
    expectSame(designLowPass(2, Fc, Fs), calc.lowpass({ ...filter, order: 1 }));
    expectSame(designHighPass(2, Fc, Fs), calc.highpass({ ...filter, order: 1 }));
    expectSame(designLowPass(4, Fc, Fs), calc.lowpass({ ...filter, order: 2 }));
  });
});

function expectSame(
  own: readonly Section[],
  others: readonly { a: readonly number[]; b: readonly number[] }[],
): void {
  expect(own.length).toBe(others.length);
  const byA2 = (p: Section, q: Section) => p.a2 - q.a2;
  const sections = others.map(({ a, b }) => ({ b0: b[0]!, b1: b[1]!, b2: b[2]!, a1: a[0]!, a2: a[1]! }));
  sections.sort(byA2);
  [...own].sort(byA2).forEach((section, k) => {
    for (const name of ['b0', 'b1', 'b2', 'a1', 'a2'] as const)
      expect(Math.abs(section[name] - sections[k]![name])).toBeLessThan(1e-12);
  });
}

describe('attenuation is 10 log(1 + r^2n), r the ratio of warped frequencies', () => {
  // Butterworth's definition; dB at r = 0.5, 1, 2, 10 [recomputed]
  test.each([
    [1, [-0.9691, -3.0103, -6.9897, -20.043214]],
    [2, [-0.263289, -3.0103, -12.304489, -40.000434]],
    [4, [-0.0169316, -3.0103, -24.099331, -80.0]],
  ] as const)('order %d', (order, decibels) => {
    const [sampleHz, cutoffHz] = [1000, 20];
    const k = Math.tan((Math.PI * cutoffHz) / sampleHz);
    [0.5, 1, 2, 10].forEach((ratio, i) => {
      const frequencyHz = (Math.atan(ratio * k) * sampleHz) / Math.PI;
      const magnitude = magnitudeAt(designLowPass(order, cutoffHz, sampleHz), frequencyHz, sampleHz);
      expect(20 * Math.log10(magnitude)).toBeCloseTo(decibels[i]!, 5);
    });
  });
});

const sampleHz = fc.double({ min: 20, max: 4000, noNaN: true });
const part = fc.double({ min: 0.002, max: 0.49, noNaN: true });
const order = fc.constantFrom(1 as const, 2 as const, 4 as const);

describe('whatever the cutoff', () => {
  test('a low-pass is 1 at 0, 1/√2 at the cutoff, 0 at half the rate', () => {
    fc.assert(
      fc.property(sampleHz, part, order, (fs, p, n) => {
        const sections = designLowPass(n, p * fs, fs);
        expect(magnitudeAt(sections, 0, fs)).toBeCloseTo(1, 9);
        expect(magnitudeAt(sections, p * fs, fs)).toBeCloseTo(Math.SQRT1_2, 9);
        expect(magnitudeAt(sections, fs / 2, fs)).toBeLessThan(1e-9);
      }),
    );
  });

  test('a high-pass is 0 at 0, 1/√2 at the cutoff, 1 at half the rate', () => {
    fc.assert(
      fc.property(sampleHz, part, fc.constantFrom(1 as const, 2 as const), (fs, p, n) => {
        const sections = designHighPass(n, p * fs, fs);
        expect(magnitudeAt(sections, 0, fs)).toBeLessThan(1e-9);
        expect(magnitudeAt(sections, p * fs, fs)).toBeCloseTo(Math.SQRT1_2, 9);
        expect(magnitudeAt(sections, fs / 2, fs)).toBeCloseTo(1, 9);
      }),
    );
  });

  test('the poles lie inside the circle', () => {
    fc.assert(
      fc.property(sampleHz, part, order, (fs, p, n) => {
        for (const { a1, a2 } of designLowPass(n, p * fs, fs)) {
          // Jury's conditions for z² + a1 z + a2
          expect(Math.abs(a2)).toBeLessThan(1);
          expect(Math.abs(a1)).toBeLessThan(1 + a2);
        }
      }),
    );
  });

  test('only its part of the sample rate counts', () => {
    expect(designLowPass(4, 20, 200)).toEqual(designLowPass(4, 10, 100));
    expect(designHighPass(2, 20, 200)).toEqual(designHighPass(2, 10, 100));
  });
});

test.each([0, -1, 50, 51, Number.NaN, Number.POSITIVE_INFINITY])(
  'a cutoff of %d at 100 Hz is refused by name',
  (cutoffHz) => {
    expect(() => designLowPass(2, cutoffHz, 100)).toThrow(`cutoffHz must be in (0, 50), got ${cutoffHz}`);
    expect(() => designHighPass(2, cutoffHz, 100)).toThrow(RangeError);
  },
);
