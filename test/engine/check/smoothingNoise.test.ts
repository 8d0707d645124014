import { describe, expect, test } from 'vitest';
import { medianVariance, noisePassed } from '../../../server/engine/check/smoothingNoise.ts';
import { makeSmoother, type SmoothingSettings } from '../../../server/engine/filter/smoothing.ts';
import { seededNormal } from '../../seeded.ts';

const SETTINGS: SmoothingSettings = { kind: 'butterworth', order: 2, cutoffHz: 10, lengthMs: 25 };

describe('the noise bandwidth', () => {
  // (π / 2n) / sin(π / 2n) cutoffs: any text on noise, from memory [recomputed]. So far below half the rate the bilinear
  // transform takes less than 1e-3 of it away.
  test.each([
    [1, 1.5707963],
    [2, 1.1107207],
    [4, 1.0261722],
  ] as const)('of Butterworth order %d is %d cutoffs', (order, cutoffs) => {
    const { bandwidthHz } = noisePassed({ ...SETTINGS, order, cutoffHz: 1 }, 4000);
    expect(Math.abs(bandwidthHz! / cutoffs - 1)).toBeLessThan(1e-3);
  });

  // FLT-9 [recomputed]: α / (2 - α) of the variance.
  test.each([
    [0.1, 0.0526315789],
    [0.2, 0.1111111111],
    [0.5, 0.3333333333],
  ])('first order with α = %d leaves %d of the variance', (alpha, powerPart) => {
    const cutoffHz = (-Math.log(1 - alpha) * 200) / (2 * Math.PI);
    const passed = noisePassed({ ...SETTINGS, kind: 'firstOrder', cutoffHz }, 200);
    expect(passed.powerPart).toBeCloseTo(powerPart, 9);
    expect(passed.bandwidthHz).toBeCloseTo(100 * powerPart, 7);
  });

  // Smith 1997, ch. 15 (cited from memory): the noise falls with the square root of the number of samples.
  test.each([2, 5, 25])('a moving average of %d samples leaves one part in so many', (samples) => {
    const passed = noisePassed({ ...SETTINGS, kind: 'movingAverage', lengthMs: 5 * samples }, 200);
    expect(passed.powerPart).toBeCloseTo(1 / samples, 12);
    expect(passed.bandwidthHz).toBeCloseTo(100 / samples, 9);
  });
});

describe('the median of normal samples', () => {
  test('of three has the variance 1 - √3 / π', () => {
    expect(medianVariance(3)).toBeCloseTo(1 - Math.sqrt(3) / Math.PI, 5);
  });

  // Variances of the sample median, as tables of order statistics print them [recomputed by adaptive quadrature].
  test.each([
    [2, 0.5],
    [4, 0.2981996],
    [5, 0.2868337],
    [7, 0.2104469],
    [9, 0.1661013],
    [10, 0.1383264],
    [25, 0.0617463],
    [100, 0.0154879],
  ])('of %d has the variance %d', (samples, variance) => {
    expect(Math.abs(medianVariance(samples) / variance - 1)).toBeLessThan(1e-3);
  });

  test('of many tends to π / 2 of the mean’s', () => {
    expect(medianVariance(501) * 501).toBeCloseTo(Math.PI / 2, 2);
  });

  test('has no bandwidth', () => {
    expect(noisePassed({ ...SETTINGS, kind: 'median' }, 200).bandwidthHz).toBe(null);
  });
});

test.each<[string, SmoothingSettings]>([
  ['Butterworth', SETTINGS],
  ['first order', { ...SETTINGS, kind: 'firstOrder' }],
  ['moving average', { ...SETTINGS, kind: 'movingAverage' }],
  ['median', { ...SETTINGS, kind: 'median' }],
  ['none', { ...SETTINGS, kind: 'none' }],
])('noise that is sent through shows it: %s', (_name, settings) => {
  const smoother = makeSmoother(settings, 200);
  const normal = seededNormal(77);
  const LENGTH = 400_000;
  let sum = 0;
  for (let n = 0; n < LENGTH; ++n) sum += smoother.step(normal()) ** 2;
  // 400 000 samples, of which some 40 000 count for themselves: 1 % is 1.4 standard errors, 3 % is four.
  expect(Math.abs(sum / LENGTH / noisePassed(settings, 200).powerPart - 1)).toBeLessThan(0.03);
});

test('where the log is too slow for it, all noise up to half the rate comes through', () => {
  expect(noisePassed({ ...SETTINGS, cutoffHz: 60 }, 100)).toEqual({ powerPart: 1, bandwidthHz: 50 });
});
