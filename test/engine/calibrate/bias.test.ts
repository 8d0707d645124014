import { describe, expect, test } from 'vitest';
import { type BiasTrack, estimateBias, removeBias } from '../../../server/engine/calibrate/bias.ts';
import { seededNormal } from '../../seeded.ts';
import { uniformLog, wildLog } from '../uniformLogs.ts';

/** Linear between knots, the end knots beyond them: looked up anew for each sample. */
function slowBias({ knots }: BiasTrack, tUs: number): [number, number, number] {
  const after = knots.findIndex((knot) => knot.timeUs > tUs);
  const [from, to] =
    after < 0 ? [knots.at(-1)!, knots.at(-1)!] : [knots[Math.max(0, after - 1)]!, knots[after]!];
  const part = to === from || tUs <= from.timeUs ? 0 : (tUs - from.timeUs) / (to.timeUs - from.timeUs);
  const between = (a: number, b: number) => a + part * (b - a);
  return [between(from.xDps, to.xDps), between(from.yDps, to.yDps), between(from.zDps, to.zDps)];
}

const TRACK: BiasTrack = {
  knots: [
    { timeUs: 400_000, xDps: 1, yDps: -2, zDps: 0 },
    { timeUs: 1_000_000, xDps: 2, yDps: -2, zDps: 3 },
    { timeUs: 2_100_000, xDps: -1, yDps: 5, zDps: 3 },
  ],
};

describe('removing a track', () => {
  const log = wildLog(1, 700);

  test.each([
    ['three knots', TRACK],
    ['one knot: a constant', { knots: TRACK.knots.slice(0, 1) }],
    ['a knot behind the log', { knots: [TRACK.knots[0]!, { ...TRACK.knots[1]!, timeUs: 9_000_000 }] }],
    [
      'both knots before the log',
      { knots: TRACK.knots.slice(0, 2).map((knot) => ({ ...knot, timeUs: knot.timeUs - 2e6 })) },
    ],
  ])('%s: linear between knots, constant beyond', (_, track) => {
    const clean = removeBias(log, track);
    for (let i = 0; i < 700; ++i) {
      const [x, y, z] = slowBias(track, log.timeUs[i]!);
      expect(clean.gyroXDps[i]!).toBeCloseTo(log.gyroXDps[i]! - x, 10);
      expect(clean.gyroYDps[i]!).toBeCloseTo(log.gyroYDps[i]! - y, 10);
      expect(clean.gyroZDps[i]!).toBeCloseTo(log.gyroZDps[i]! - z, 10);
    }
  });

  test('leaves the forces, the times and the log itself alone', () => {
    const before = structuredClone(log);
    const clean = removeBias(log, TRACK);
    expect(clean.accelXG).toBe(log.accelXG);
    expect(clean.timeUs).toBe(log.timeUs);
    expect(log).toEqual(before);
  });

  test('without knots is the same log', () => {
    expect(removeBias(log, { knots: [] })).toBe(log);
  });
});

describe('estimating', () => {
  /** A minute at 100 Hz that rests every ten seconds for `restS`, with a bias that drifts. */
  function drifting(seed: number, restS: number) {
    const normal = seededNormal(seed);
    const bias = (axis: number, tS: number) => [2.4, -3.1, 0.7][axis]! + [0.5, -0.2, 0.3][axis]! * (tS / 60);
    const swing = (n: number) => (n / 100) % 10 >= restS;
    const column = (axis: number) => (n: number) =>
      bias(axis, n / 100) + (swing(n) ? 400 * Math.sin(n / (9 + axis)) : 0) + 0.1 * normal();
    const log = uniformLog(
      6000,
      {
        gyroXDps: column(0),
        gyroYDps: column(1),
        gyroZDps: column(2),
        accelXG: (n) => (swing(n) ? Math.sin(n / 5) : 0) + 0.002 * normal(),
        accelYG: () => 0.002 * normal(),
        accelZG: () => 1 + 0.002 * normal(),
      },
      { rateHz: 100 },
    );
    return { log, bias };
  }

  test('a bias that drifts by 0.5 deg/s a minute is right within 0.1 deg/s at every moment, in 20 of 20 takes', () => {
    for (let seed = 1; seed <= 20; ++seed) {
      const { log, bias } = drifting(seed, 2);
      const track = estimateBias(log);
      expect(track.knots.length, `seed ${seed}`).toBe(6);
      for (let tS = 0; tS < 60; ++tS) {
        slowBias(track, tS * 1e6).forEach((value, axis) => {
          // noise over 200 samples 0.007; beyond the last knot, at 51 s, the drift runs on: 0.075
          expect(Math.abs(value - bias(axis, tS)), `seed ${seed}, ${tS} s`).toBeLessThan(0.1);
        });
      }
    }
  });

  test('a take without rest shows no bias: none is made up', () => {
    expect(estimateBias(wildLog(3, 2000)).knots).toEqual([]);
  });
});
