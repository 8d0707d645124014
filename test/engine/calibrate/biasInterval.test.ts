import { describe, expect, test } from 'vitest';
import type { UniformLog } from '../../../server/engine/base/log.ts';
import { biasHalfWidths } from '../../../server/engine/calibrate/biasInterval.ts';
import { findStillStretches } from '../../../server/engine/calibrate/stillness.ts';
import { seededNormal, seededRandom } from '../../seeded.ts';
import { uniformLog } from '../uniformLogs.ts';

interface Gyro {
  readonly rateHz: number;
  /** Of one sample, deg/s. */
  readonly noiseDps: number;
  /** Corner of the sensor's own first-order low-pass, which smears noise over samples; null for none. */
  readonly cornerHz: number | null;
  /** deg/s a code. */
  readonly stepDps: number;
  readonly driftDpsPerMin: number;
}

/** Two seconds of rest, eight of swings, two of rest; the bias drawn anew for each seed. */
function restedLog(
  seed: number,
  gyro: Gyro,
): { log: UniformLog; biasAt: (axis: number, s: number) => number } {
  const { rateHz, noiseDps, cornerHz, stepDps, driftDpsPerMin } = gyro;
  const random = seededRandom(seed);
  const normal = seededNormal(seed + 1);
  const bias = [0, 1, 2].map(() => 6 * random() - 3);
  const biasAt = (axis: number, s: number) => bias[axis]! + (driftDpsPerMin * s) / 60;
  const keep = cornerHz === null ? 0 : Math.exp((-2 * Math.PI * cornerHz) / rateHz);
  // as large as noise without memory, so that its samples alone look the same
  const fresh = Math.sqrt(1 - keep * keep);
  const column = (axis: number) => {
    let noise = normal();
    return (n: number) => {
      const s = n / rateHz;
      noise = keep * noise + fresh * normal();
      const swing = s < 2 || s >= 10 ? 0 : 300 * Math.sin(2 * Math.PI * (0.8 + 0.1 * axis) * (s - 2));
      return stepDps * Math.round((biasAt(axis, s) + swing + noiseDps * noise) / stepDps);
    };
  };
  const log = uniformLog(
    12 * rateHz,
    {
      gyroXDps: column(0),
      gyroYDps: column(1),
      gyroZDps: column(2),
      accelXG: (n) => (n < 2 * rateHz || n >= 10 * rateHz ? 0 : Math.sin(n / 9)) + 0.003 * normal(),
      accelYG: () => 0.003 * normal(),
      accelZG: () => 1 + 0.003 * normal(),
    },
    { rateHz },
  );
  return { log, biasAt };
}

const WHITE = { rateHz: 100, noiseDps: 0.1, cornerHz: null, stepDps: 1e-6, driftDpsPerMin: 0 };

describe.each<[string, Gyro, number]>([
  ['white noise at 100 Hz', WHITE, 0.05],
  ['noise at 1 kHz that a filter of 20 Hz has smeared', { ...WHITE, rateHz: 1000, cornerHz: 20 }, 0.08],
  ['a drift of 0.5 deg/s a minute', { ...WHITE, driftDpsPerMin: 0.5 }, 0.05],
  ['noise of a quarter of a code', { ...WHITE, noiseDps: 0.015, stepDps: 0.061 }, 0.05],
  // the take's own values show codes three steps apart at the closest
  ['no noise to stir the codes', { ...WHITE, noiseDps: 0, stepDps: 0.061 }, 0.1],
])('of 100 takes with %s', (_name, gyro, widestDps) => {
  const axes = Array.from({ length: 100 }, (_, seed) => {
    const { log, biasAt } = restedLog(1000 * seed + 7, gyro);
    const stretches = findStillStretches(log);
    const [half] = biasHalfWidths(log, stretches);
    const [first] = stretches;
    const middleS = (first!.startUs + first!.endUs) / 2e6;
    const means = [first!.gyroXDps, first!.gyroYDps, first!.gyroZDps];
    return means.map((mean, k) => ({ errorDps: Math.abs(mean - biasAt(k, middleS)), halfDps: half![k]! }));
  });

  test.each([0, 1, 2])('axis %d: the interval holds the bias in 90 or more', (k) => {
    const held = axes.filter((axis) => axis[k]!.errorDps <= axis[k]!.halfDps);
    expect(held.length).toBeGreaterThanOrEqual(90);
  });

  test('every bias is right within 0.1 deg/s, and the intervals say something', () => {
    for (const axis of axes) for (const { errorDps } of axis) expect(errorDps).toBeLessThan(0.1);
    const halves = axes
      .flat()
      .map(({ halfDps }) => halfDps)
      .sort((a, b) => a - b);
    expect(halves[150]).toBeLessThan(widestDps);
    expect(halves[0]).toBeGreaterThan(0);
  });
});

test('of 300 takes with one rest of a second, three blocks and no more, it holds the bias in 270 or more', () => {
  let held = 0;
  for (let seed = 0; seed < 300; ++seed) {
    const normal = seededNormal(seed + 1);
    const log = uniformLog(
      200,
      {
        gyroXDps: (n) => 0.7 + 0.1 * normal() + (n < 110 ? 0 : 30 * Math.sin(n)),
        accelZG: (n) => 1 + 0.003 * normal() + (n < 110 ? 0 : 0.3 * Math.sin(n)),
      },
      { rateHz: 100 },
    );
    const stretches = findStillStretches(log);
    expect(stretches.map(({ samples }) => samples)).toEqual([90]);
    if (Math.abs(stretches[0]!.gyroXDps - 0.7) <= biasHalfWidths(log, stretches)[0]![0]) ++held;
  }
  expect(held).toBeGreaterThanOrEqual(270);
});

test('noise without memory is as the square root of samples has it: about 1.96 s / √n', () => {
  const rest = restedLog(3, WHITE).log;
  const stretches = findStillStretches(rest);
  const [half] = biasHalfWidths(rest, stretches);
  const plain = (1.96 * 0.1) / Math.sqrt(stretches[0]!.samples);
  for (const one of half!) expect(one / plain).toBeGreaterThan(0.6);
  for (const one of half!) expect(one / plain).toBeLessThan(1.8);
});

test('of no rest there is none', () => {
  expect(biasHalfWidths(restedLog(1, WHITE).log, [])).toEqual([]);
});
