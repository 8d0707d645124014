import { describe, expect, test } from 'vitest';
import { cruise, minimumJerk, type Piece, scaled, wave } from '../../scripts/simulate/piece.ts';
import { push } from '../../scripts/simulate/push.ts';
import { Track } from '../../scripts/simulate/track.ts';

function at(piece: Piece, tS: number): [number, number, number] {
  const out = new Float64Array(3);
  piece.add(tS, out);
  return [out[0]!, out[1]!, out[2]!];
}

const pushed = push(
  0.5,
  [
    { shape: 'smooth', atS: 0, durationS: 0.12, peak: 22 },
    { shape: 'sharp', atS: 0.13, durationS: 0.006, peak: -80 },
    { shape: 'ring', atS: 0.136, durationS: 0.011, peak: 30, hz: 85 },
  ],
  0.3,
  0.8,
);

const PIECES: readonly [string, Piece][] = [
  ['minimum jerk', minimumJerk(0.5, 0.4, 120)],
  ['cruise', cruise(0.5, 2, -700, 0.25)],
  ['wave', wave(0.5, 3, 0.6, { amplitude: 70, hz: 0.9, phaseRad: 1 })],
  [
    'wandering wave, second harmonic',
    wave(0.5, 3, 0.6, { amplitude: 20, hz: 0.9, harmonic: 2, wobbleRad: 0.4, wobbleHz: 0.3 }),
  ],
  ['scaled wave', scaled(wave(0.5, 3, 0.6, { amplitude: 70, hz: 0.9 }), -0.3)],
  ['push', pushed],
];

describe.each(PIECES)('%s', (_name, piece) => {
  test('its rate and acceleration are the derivatives of its value', () => {
    const h = 1e-5;
    let [rateScale, accelScale] = [0, 0];
    for (let tS = piece.startS; tS < piece.endS; tS += 0.0037) {
      rateScale = Math.max(rateScale, Math.abs(at(piece, tS)[1]));
      accelScale = Math.max(accelScale, Math.abs(at(piece, tS)[2]));
    }
    for (let tS = piece.startS + h; tS < piece.endS - h; tS += 0.0037) {
      const [before, here, after] = [at(piece, tS - h), at(piece, tS), at(piece, tS + h)];
      // central difference: error h^2/6 times the third derivative, far below a millionth of the scale
      expect(Math.abs((after[0] - before[0]) / (2 * h) - here[1])).toBeLessThan(1e-5 * rateScale);
      expect(Math.abs((after[1] - before[1]) / (2 * h) - here[2])).toBeLessThan(1e-4 * accelScale);
    }
  });

  test('it starts and ends at rest', () => {
    for (const [tS, value] of [
      [piece.startS, 0],
      [piece.endS, piece.after],
    ] as const) {
      const [x, v, a] = at(piece, tS);
      expect(x).toBeCloseTo(value, 9);
      expect(v).toBeCloseTo(0, 9);
      expect(a).toBeCloseTo(0, 6);
    }
  });
});

// Flash and Hogan, J. Neurosci. 5(7), 1985, 1688-1703 [numbers recomputed; citation from memory]
test('a minimum-jerk turn peaks at 1.875 D/T and accelerates at most at 10/sqrt 3 D/T^2', () => {
  const piece = minimumJerk(0, 0.25, 120);
  expect(at(piece, 0.125)[1]).toBeCloseTo(900, 9);
  const tS = (0.25 * (3 - Math.sqrt(3))) / 6;
  expect(at(piece, tS)[2]).toBeCloseTo(11085.125168, 5);
  for (let t = 0; t <= 0.25; t += 0.001) expect(at(piece, t)[2]).toBeLessThan(11085.125169);
});

test('a cruise turns by rate times the time less one ramp', () => {
  expect(cruise(0, 2, 720, 0.25).after).toBeCloseTo(1260, 12);
});

// FLT-13: half-sine shock, change of speed 2AT/pi [recomputed; shape of IEC 60068-2-27 from memory]
test('a half-sine shock of 10 g and 8 ms changes the speed by 0.4994 m/s', () => {
  const piece = push(0, [{ shape: 'sharp', atS: 0, durationS: 0.008, peak: 98.0665 }], 0.1, 0.5);
  expect(at(piece, 0.05)[1]).toBeCloseTo(0.499448583, 8);
});

test('a track is the sum of its pieces, and keeps what they leave', () => {
  const track = new Track();
  track.add(minimumJerk(0, 1, 90));
  track.add(minimumJerk(0.5, 1, -30));
  expect(track.settled()).toBe(60);
  const out = { value: new Float64Array(40), rate: new Float64Array(40), accel: new Float64Array(40) };
  track.sample(0, 20, out);
  for (let i = 0; i < 40; ++i) expect(out.value[i]).toBeCloseTo(track.valueAt(i / 20), 9);
  expect(out.value[39]).toBe(60);
  expect(out.rate[39]).toBe(0);
});

test('a block starts where the one before it ended', () => {
  const track = new Track();
  track.add(wave(0.1, 1.5, 0.3, { amplitude: 5, hz: 3 }));
  track.add(minimumJerk(0.2, 0.7, 40));
  const block = (length: number) => ({
    value: new Float64Array(length),
    rate: new Float64Array(length),
    accel: new Float64Array(length),
  });
  const [whole, first, second] = [block(200), block(77), block(123)];
  track.sample(0, 100, whole);
  track.sample(0, 100, first);
  track.sample(77, 100, second);
  expect([...first.value, ...second.value]).toEqual([...whole.value]);
  expect([...first.accel, ...second.accel]).toEqual([...whole.accel]);
});
