import { describe, expect, test } from 'vitest';
import type { UniformLog } from '../../../server/engine/base/log.ts';
import { findStillStretches } from '../../../server/engine/calibrate/stillness.ts';
import { seededNormal } from '../../seeded.ts';
import { uniformLog } from '../uniformLogs.ts';

const RATE_HZ = 100;

/**
 * One character per half second at 100 Hz: '.' at rest, 'h' held by a hand, 'c' turning steadily at 12 deg/s, 's' swinging,
 * 'b' at rest with a bias of 3 deg/s more, '|' a gap before.
 */
function logOf(trace: string, noiseDps = 0.1, noiseG = 0.004, seed = 1): UniformLog {
  const normal = seededNormal(seed);
  const states = [...trace].filter((c) => c !== '|');
  const length = (states.length * RATE_HZ) / 2;
  const gaps = [...trace].flatMap((c, k) => (c === '|' ? [(k * RATE_HZ) / 2] : []));
  const borders = [0, ...gaps.map((at, k) => at - (k * RATE_HZ) / 2), length];
  const segments = borders.slice(1).map((end, k) => ({ start: borders[k]!, end }));
  const rate = (n: number) => {
    const state = states[Math.floor((2 * n) / RATE_HZ)]!;
    if (state === 's') return 500 * Math.sin((2 * Math.PI * n) / RATE_HZ);
    if (state === 'h') return 4 * Math.sin((2 * Math.PI * 9 * n) / RATE_HZ);
    if (state === 'c') return 12;
    return state === 'b' ? 3 : 0;
  };
  const columns = {
    gyroXDps: () => 1.5 + noiseDps * normal(),
    gyroYDps: () => -2 + noiseDps * normal(),
    gyroZDps: (n: number) => rate(n) + noiseDps * normal(),
    accelXG: () => noiseG * normal(),
    accelYG: () => 0.6 + noiseG * normal(),
    accelZG: (n: number) => 0.8 + rate(n) / 1000 + noiseG * normal(),
  };
  return uniformLog(length, columns, { rateHz: RATE_HZ, segments });
}

function spansS(log: UniformLog): [number, number][] {
  return findStillStretches(log).map(({ startUs, endUs }) => [startUs / 1e6, (endUs + log.stepUs) / 1e6]);
}

// Windows of half a second stand every quarter: a stretch may lose up to a quarter at either end. Where it borders on
// motion, a tenth of a second goes besides.
describe('finds what lay still', () => {
  test.each([
    ['all of it', '......', [[0, 3]]],
    [
      'before and after a swing',
      '....ssss....',
      [
        [0, 1.9],
        [4.1, 6],
      ],
    ],
    ['nothing of half a second between two swings', 'ssss.ssss', []],
    ['nothing in a swing', 'ssssssss', []],
    ['nothing in a hand', 'hhhhhhhh', []],
    ['the stand, not the hand', '....hhhhhh', [[0, 1.9]]],
    ['the stand, not a slow steady turn', '......cccccc', [[0, 2.9]]],
    [
      'on both sides of a gap, as two',
      '....|....',
      [
        [0, 2],
        [2.49, 4.49],
      ],
    ],
    [
      'a warming sensor: a bias that differs by more than 2 deg/s is a turn',
      '......bb......',
      [
        [0, 2.9],
        [4.1, 7],
      ],
    ],
    ['nothing in a log that is shorter than a window', '', []],
  ] as const)('%s', (_, trace, expected) => {
    expect(spansS(logOf(trace))).toEqual(expected);
  });
});

test('its means are those of the samples in it', () => {
  const log = logOf('....ssss....', 0.3, 0.008);
  const [first] = findStillStretches(log);
  expect(first!.samples).toBe(190);
  const mean = (column: Float64Array) => column.subarray(0, 190).reduce((sum, v) => sum + v, 0) / 190;
  for (const name of ['gyroXDps', 'gyroYDps', 'gyroZDps', 'accelXG', 'accelYG', 'accelZG'] as const)
    expect(first![name]).toBeCloseTo(mean(log[name]), 12);
});

describe('measures stillness by the sensor’s own noise', () => {
  test.each([
    ['a quiet one', 0.02, 0.0005],
    ['a common one', 0.1, 0.004],
    ['a noisy one', 0.8, 0.012],
  ])('%s', (_, noiseDps, noiseG) => {
    for (let seed = 1; seed <= 5; ++seed)
      expect(spansS(logOf('....ssssssss....', noiseDps, noiseG, seed)), `seed ${seed}`).toEqual([
        [0, 1.9],
        [6.1, 8],
      ]);
  });

  test('where nothing is quiet, nothing is still: 5 deg/s of noise is a moving sensor', () => {
    expect(spansS(logOf('........', 5, 0.1))).toEqual([]);
  });
});

test('a mean of more than 25 deg/s is a turn, however steady', () => {
  const log = logOf('......');
  expect(findStillStretches({ ...log, gyroXDps: log.gyroXDps.map((v) => v + 30) })).toEqual([]);
});

test('one sample, or none, is no stretch', () => {
  expect(findStillStretches(uniformLog(0))).toEqual([]);
  expect(findStillStretches(uniformLog(1))).toEqual([]);
});
