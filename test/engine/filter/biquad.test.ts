import { describe, expect, test } from 'vitest';
import { Cascade, groupDelayMs, magnitudeAt, type Section } from '../../../server/engine/filter/biquad.ts';
import { designHighPass, designLowPass } from '../../../server/engine/filter/butterworth.ts';
import { differenceEquation, expand, magnitudeOfResponse } from '../../reference/filter.ts';
import { seededNormal } from '../../seeded.ts';

const LOW_10_OF_100 = designLowPass(2, 10, 100);
const DESIGNS: readonly [string, readonly Section[]][] = [
  ['order 1', designLowPass(1, 10, 100)],
  ['order 2', LOW_10_OF_100],
  ['order 4', designLowPass(4, 7, 100)],
  ['a high-pass', designHighPass(2, 20, 400)],
];

/** Phase in degrees, each section's from the arguments of its two polynomials. */
function phaseDegAt(sections: readonly Section[], frequencyHz: number, sampleHz: number): number {
  const w = (2 * Math.PI * frequencyHz) / sampleHz;
  const argument = (p: readonly number[]) =>
    Math.atan2(
      -p.reduce((sum, pk, k) => sum + pk * Math.sin(k * w), 0),
      p.reduce((sum, pk, k) => sum + pk * Math.cos(k * w), 0),
    );
  const radians = sections.reduce(
    (sum, { b0, b1, b2, a1, a2 }) => sum + argument([b0, b1, b2]) - argument([1, a1, a2]),
    0,
  );
  return (radians * 180) / Math.PI;
}

function run(sections: readonly Section[], x: readonly number[]): number[] {
  const cascade = new Cascade(sections);
  return x.map((value) => cascade.step(value));
}

function noise(seed: number, length: number): number[] {
  const normal = seededNormal(seed);
  return Array.from({ length }, () => normal());
}

describe('responses of order 2 at 10 of 100 Hz, from rest', () => {
  // [recomputed to 12 digits from the Audio EQ Cookbook's coefficients]
  test('the step response overshoots to 1.0498 at the seventh sample', () => {
    const published = [
      0.067455273889, 0.279465884516, 0.561399507822, 0.79612582339, 0.948030775261, 1.024759775306,
      1.049752919446, 1.046645742057, 1.03277708904, 1.018208136837, 1.007281110656, 1.000805819532,
    ];
    const step = run(LOW_10_OF_100, new Array(12).fill(1));
    published.forEach((value, n) => {
      expect(step[n]!).toBeCloseTo(value, 11);
    });
    expect(Math.max(...run(LOW_10_OF_100, new Array(500).fill(1)))).toBe(step[6]);
  });

  test('the impulse response', () => {
    const published = [
      0.067455273889, 0.212010610627, 0.281933623306, 0.234726315569, 0.15190495187, 0.076729000045,
      0.02499314414, -0.00310717739,
    ];
    const impulse = run(LOW_10_OF_100, [1, 0, 0, 0, 0, 0, 0, 0]);
    published.forEach((value, n) => {
      expect(impulse[n]!).toBeCloseTo(value, 11);
    });
  });
});

test.each(DESIGNS)('%s steps as its difference equation does, written out as one fraction', (_, sections) => {
  const x = noise(3, 400);
  const { b, a } = expand(sections);
  const slow = differenceEquation(b, a, x);
  run(sections, x).forEach((value, n) => {
    expect(Math.abs(value - slow[n]!)).toBeLessThan(1e-9);
  });
});

test.each(DESIGNS)('%s: |H| is that of its impulse response, added up', (_, sections) => {
  const impulse = run(sections, [1, ...new Array<number>(1999).fill(0)]);
  for (const part of [0, 0.013, 0.1, 0.25, 0.4])
    expect(magnitudeAt(sections, part, 1)).toBeCloseTo(magnitudeOfResponse(impulse, part), 9);
});

test('|H| of 1 kHz at 48 kHz is what a web-audio engine gives', () => {
  // getFrequencyResponse of node-web-audio-api, Float32 [run by the compiler of the check values]
  const sections = designLowPass(2, 1000, 48000);
  expect(magnitudeAt(sections, 1000, 48000)).toBeCloseTo(0.70710677, 6);
  expect(magnitudeAt(sections, 2000, 48000)).toBeCloseTo(0.24057709, 6);
  expect(magnitudeAt(sections, 10000, 48000)).toBeCloseTo(0.00729602, 6);
});

describe('group delay', () => {
  test.each([
    [10, 100, 2.176250899483],
    [50, 1000, 4.464496510754],
    [10, 200, 4.464496510754],
  ])('at 0 Hz, %d of %d Hz: √2 / (2 tan(π fc / fs)) samples', (cutoffHz, sampleHz, samples) => {
    // closed form of the bilinear transform [recomputed; scipy's group_delay agrees]
    expect((groupDelayMs(designLowPass(2, cutoffHz, sampleHz), 0, sampleHz) * sampleHz) / 1000).toBeCloseTo(
      samples,
      10,
    );
  });

  test('nears that of the analogue filter as the rate grows: 22.508 ms and 41.589 ms at 10 Hz', () => {
    expect(groupDelayMs(designLowPass(2, 10, 100_000), 0, 100_000)).toBeCloseTo(22.5079079, 4);
    expect(groupDelayMs(designLowPass(4, 10, 100_000), 0, 100_000)).toBeCloseTo(41.5891909, 4);
  });

  test.each(DESIGNS)('%s: is the slope of the phase', (_, sections) => {
    for (const frequencyHz of [0.5, 2, 5, 12, 30]) {
      const h = 1e-3;
      const before = phaseDegAt(sections, frequencyHz - h, 100);
      const after = phaseDegAt(sections, frequencyHz + h, 100);
      const slopeMs = (-(after - before) / 360 / (2 * h)) * 1000;
      expect(groupDelayMs(sections, frequencyHz, 100)).toBeCloseTo(slopeMs, 5);
    }
  });
});

describe('a run over an array', () => {
  const three = [...designLowPass(4, 7, 100), ...designHighPass(2, 1, 100)];

  test.each([...DESIGNS, ['three sections', three] as const, ['none', []] as const])(
    '%s: whole, in chunks and in place it is bit for bit what single steps give',
    (_, sections) => {
      const x = noise(21, 500);
      const stepped = run(sections, x);
      const out = new Float64Array(500);
      new Cascade(sections).run(Float64Array.from(x), out);
      expect(Array.from(out)).toEqual(stepped);
      const chunked = Float64Array.from(x);
      const cascade = new Cascade(sections);
      for (const [from, to] of [
        [0, 1],
        [1, 1],
        [1, 204],
        [204, 500],
      ] as const)
        cascade.run(chunked, chunked, from, to);
      expect(Array.from(chunked)).toEqual(stepped);
      const after = new Cascade(sections);
      for (const value of x) after.step(value);
      expect(cascade.step(0.5)).toBe(after.step(0.5));
    },
  );
});

describe('a cascade', () => {
  test.each(DESIGNS)('%s: primed with x it holds what an endless x leads to', (_, sections) => {
    const primed = new Cascade(sections);
    primed.prime(3.7);
    const patient = new Cascade(sections);
    for (let n = 0; n < 5000; ++n) patient.step(3.7);
    for (const x of noise(5, 50)) expect(primed.step(x)).toBeCloseTo(patient.step(x), 10);
  });

  test.each(DESIGNS)('%s: after a reset it is as new', (_, sections) => {
    const x = noise(8, 60);
    const used = new Cascade(sections);
    for (const value of noise(9, 33)) used.step(value);
    used.reset();
    expect(x.map((value) => used.step(value))).toEqual(run(sections, x));
  });

  test.each(DESIGNS)('%s: a later sample changes no earlier output', (_, sections) => {
    const x = noise(11, 80);
    const other = [...x];
    other[50] = 1e6;
    expect(run(sections, other).slice(0, 50)).toEqual(run(sections, x).slice(0, 50));
    expect(run(sections, other)[50]).not.toBe(run(sections, x)[50]);
  });

  test('without sections passes everything through', () => {
    expect(run([], [1, -2, 3])).toEqual([1, -2, 3]);
  });
});
