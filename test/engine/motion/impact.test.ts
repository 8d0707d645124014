import { describe, expect, test } from 'vitest';
import { magnitudeAt } from '../../../server/engine/filter/biquad.ts';
import { designHighPass } from '../../../server/engine/filter/butterworth.ts';
import { ImpactMeter } from '../../../server/engine/motion/impact.ts';
import { differenceEquation, expand } from '../../reference/filter.ts';
import { seededNormal, seededRandom } from '../../seeded.ts';

type Force = readonly [number, number, number];

function run(forces: readonly Force[], meter = new ImpactMeter(20, 400)): number[] {
  return forces.map(([x, y, z]) => meter.step(x, y, z));
}

function noise(seed: number, length: number): Force[] {
  const normal = seededNormal(seed);
  return Array.from({ length }, () => [normal(), normal(), normal()] as const);
}

test('a force that stands is no impact, whatever it is', () => {
  for (const g of run(new Array(400).fill([3, -7, 1]))) expect(g).toBeLessThan(1e-12);
});

test('is the length of three difference equations', () => {
  const forces = noise(1, 500);
  const { b, a } = expand(designHighPass(2, 20, 400));
  const axes = [0, 1, 2].map((k) => {
    const x = forces.map((force) => force[k]!);
    return differenceEquation(b, a, x, { x: x[0]!, y: 0 });
  });
  run(forces).forEach((g, n) => {
    expect(g).toBeCloseTo(Math.hypot(axes[0]![n]!, axes[1]![n]!, axes[2]![n]!), 9);
  });
});

test.each([2, 20, 60])('a sine of 1 g at %d Hz reads as strong as the high-pass lets it', (frequencyHz) => {
  const sine = Array.from({ length: 2000 }, (_, n) => {
    const angle = (2 * Math.PI * frequencyHz * n) / 400;
    // in quadrature on two axes, so that the length stays the same
    return [Math.sin(angle), Math.cos(angle), 0] as const;
  });
  const settled = run(sine).slice(1500);
  const expected = magnitudeAt(designHighPass(2, 20, 400), frequencyHz, 400);
  for (const g of settled) expect(g).toBeCloseTo(expected, 6);
});

describe('a half-sine shock of 10 g and 8 ms', () => {
  // shape of IEC 60068-2-27 (cited from memory)
  test.each([1000, 2000, 4000])('at %d Hz reads most of it through a high-pass of 20 Hz', (sampleHz) => {
    const shock = Array.from({ length: sampleHz / 4 }, (_, n) => {
      const t = n / sampleHz - 0.05;
      return [0, t > 0 && t < 0.008 ? 10 * Math.sin((Math.PI * t) / 0.008) : 0, 1] as const;
    });
    const peak = Math.max(...run(shock, new ImpactMeter(20, sampleHz)));
    // half-way up, after 4 ms, the high-pass has let go of √2 ω_c times the area so far, 1.4 × 126 × 10 × 8e-3/π = 4.5 g
    expect(peak).toBeGreaterThan(6.5);
    expect(peak).toBeLessThan(10);
  });
});

test('gives the same, bit for bit, in chunks beside another stream, and after a reset', () => {
  const forces = noise(3, 400);
  const whole = run(forces);
  const random = seededRandom(4);
  const [one, other] = [new ImpactMeter(20, 400), new ImpactMeter(20, 400)];
  run(noise(5, 70), one);
  one.reset();
  const chunked: number[] = [];
  while (chunked.length < forces.length) {
    chunked.push(...run(forces.slice(chunked.length, chunked.length + 1 + Math.floor(40 * random())), one));
    run(noise(6, 5), other);
  }
  expect(chunked).toEqual(whole);
});

test('a later sample changes no earlier reading; a NaN leaves no trace', () => {
  const forces = noise(7, 100);
  const whole = run(forces);
  const other = run(forces.with(60, [9, 9, 9]));
  expect(other.slice(0, 60)).toEqual(whole.slice(0, 60));
  expect(other[60]).not.toBe(whole[60]);
  const broken = run([...forces.slice(0, 60), [0, Number.NaN, 0], ...forces.slice(60)]);
  expect(broken[60]).toBeNaN();
  expect(broken.toSpliced(60, 1)).toEqual(whole);
});

test('a corner beyond half the rate is refused', () => {
  expect(() => new ImpactMeter(50, 100)).toThrow('cutoffHz must be in (0, 50), got 50');
});
