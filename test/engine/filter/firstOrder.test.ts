import { describe, expect, test } from 'vitest';
import { groupDelayMs, magnitudeAt, type Section } from '../../../server/engine/filter/biquad.ts';
import { FirstOrderLowPass } from '../../../server/engine/filter/firstOrder.ts';
import { seededNormal } from '../../seeded.ts';

function asSection(alpha: number): Section[] {
  return [{ b0: alpha, b1: 0, b2: 0, a1: alpha - 1, a2: 0 }];
}

// α = 1 - exp(-2π fc / fs) and where it really is at -3 dB: cos ω = 1 - α² / (2 (1 - α)) [recomputed]
test.each([
  [100, 5, 0.269597309, 5.04164032],
  [100, 10, 0.4665119089, 10.34654098],
  [200, 5, 0.1453640008, 5.01031269],
  [1000, 10, 0.0608986326, 10.00329149],
  [120, 1, 0.0510127138, 1.00022854],
])('at %d Hz with a cutoff of %d Hz: α and the true -3 dB', (sampleHz, cutoffHz, alpha, trueHz) => {
  const filter = new FirstOrderLowPass(cutoffHz, sampleHz);
  expect(filter.alpha).toBeCloseTo(alpha, 10);
  expect(magnitudeAt(asSection(filter.alpha), trueHz, sampleHz)).toBeCloseTo(Math.SQRT1_2, 7);
});

describe('α alone decides', () => {
  // delay at 0 Hz (1 - α) / α samples; variance of white noise passes by α / (2 - α) [closed forms]
  test.each([
    [0.1, 9, 0.0526315789],
    [0.2, 4, 0.1111111111],
    [0.5, 1, 0.3333333333],
  ])('α = %d: delay %d samples, noise power times %d', (alpha, delay, ratio) => {
    expect(groupDelayMs(asSection(alpha), 0, 1000)).toBeCloseTo(delay, 9);
    const filter = new FirstOrderLowPass((-Math.log(1 - alpha) * 1000) / (2 * Math.PI), 1000);
    expect(filter.alpha).toBeCloseTo(alpha, 12);
    let squares = 0;
    for (let n = 0, h = filter.step(1); n < 2000; ++n, h = filter.step(0)) squares += h * h;
    expect(squares).toBeCloseTo(ratio, 9);
  });
});

test('a step reaches 1 - 1/e after one time constant', () => {
  const [sampleHz, cutoffHz] = [10_000, 5];
  const filter = new FirstOrderLowPass(cutoffHz, sampleHz);
  const samples = Math.round(sampleHz / (2 * Math.PI * cutoffHz));
  let y = 0;
  for (let n = 0; n < samples; ++n) y = filter.step(1);
  // a time constant is 318.3 samples: rounding it to 318 is off by 0.0004
  expect(y).toBeCloseTo(1 - Math.exp(-1), 3);
});

test('primed, it stays where it is; reset, it is as new', () => {
  const normal = seededNormal(4);
  const [used, fresh] = [new FirstOrderLowPass(7, 100), new FirstOrderLowPass(7, 100)];
  used.prime(2.5);
  expect(used.step(2.5)).toBe(2.5);
  used.reset();
  for (let n = 0; n < 40; ++n) {
    const x = normal();
    expect(used.step(x)).toBe(fresh.step(x));
  }
});

test.each([0, -3, 50, 80, Number.NaN])('a cutoff of %d at 100 Hz is refused', (cutoffHz) => {
  expect(() => new FirstOrderLowPass(cutoffHz, 100)).toThrow(`cutoffHz must be in (0, 50), got ${cutoffHz}`);
});
