import { Quaternion } from 'quaternion';
import { describe, expect, test } from 'vitest';
import type { Press } from '../../../server/engine/base/log.ts';
import { runTwistDial } from '../../../server/engine/detect/twistDial.ts';
import type { Motion } from '../../../server/engine/motion/motion.ts';
import { computeTwist, TwistAngle } from '../../../server/engine/motion/twist.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import type { Vector } from '../../reference/rotation.ts';
import { slowTwist } from '../../reference/twistAngle.ts';
import { seededNormal, seededRandom } from '../../seeded.ts';
import { fakeMotion, fakeSignals } from '../fakeSignals.ts';

const SWING_LIMIT_DEG = 140;

const DEG = 180 / Math.PI;

function run(
  rates: readonly Vector[],
  sampleHz: number,
  angle = new TwistAngle(sampleHz),
): [number, number][] {
  return rates.map(([x, y, z]) => {
    angle.step(x, y, z, false);
    return [angle.turnedDeg, angle.swingTwistDeg];
  });
}

function wander(seed: number, length: number): Vector[] {
  const normal = seededNormal(seed);
  return Array.from({ length }, (_, n) => [
    300 * Math.sin(n / 40) + 20 * normal(),
    120 * normal(),
    120 * normal(),
  ]);
}

describe('while the blade keeps its direction, both angles are the turn about it', () => {
  test.each([
    ['a quarter', 90, 1],
    ['two turns and a half, unwrapped', 900, 1],
    ['backwards', -450, 1],
  ])('%s: %d deg/s for %d s', (_, rate, seconds) => {
    const [turned, twist] = run(new Array(100 * seconds + 1).fill([rate, 0, 0]), 100).at(-1)!;
    expect(turned).toBeCloseTo(rate * seconds, 9);
    expect(twist).toBeCloseTo(rate * seconds, 9);
  });
});

describe('on a cone they part by what the cone encloses', () => {
  // An attitude that is a turn by a about (0, cos Ωt, sin Ωt): the rate about the blade is -2Ω sin²(a/2), though nothing
  // twists. Goodman and Robinson 1958 (cited from memory) [closed form recomputed]
  test.each([
    [10, 5, -27.346044578],
    [30, 3, -144.6925639],
    [5, 10, -13.6990869],
    [1, 1, -0.0548297437],
  ])('%d° at %d Hz: turned runs away by %d deg/s, swing-twist stays', (coneDeg, hz, rateDps) => {
    const [a, w] = [coneDeg / DEG, 2 * Math.PI * hz];
    const rates = Array.from({ length: 4001 }, (_, n): Vector => {
      const phase = (w * n) / 4000;
      const across = w * Math.sin(a) * DEG;
      return [-2 * w * Math.sin(a / 2) ** 2 * DEG, -across * Math.sin(phase), across * Math.cos(phase)];
    });
    const angles = run(rates, 4000);
    expect(angles.at(-1)![0]).toBeCloseTo(rateDps, 6);
    // back where it began, but for what sampling leaves
    expect(Math.abs(angles.at(-1)![1])).toBeLessThan(0.003);
  });
});

test('yaw 90° and pitch 45° leave a twist of -45°, though nothing turned about the blade', () => {
  // geometric phase [recomputed]
  const rest: Vector = [0, 0, 0];
  const yaw = new Array<Vector>(100).fill([0, 0, 90]);
  const pitch = new Array<Vector>(100).fill([0, 45, 0]);
  const angle = new TwistAngle(100);
  run([rest, ...yaw, rest, ...pitch, rest], 100, angle);
  expect(angle.turnedDeg).toBe(0);
  expect(angle.swingTwistDeg).toBeCloseTo(-45, 9);
});

/** Swings far and wide: every so often past the direction opposite to the first. */
function tumble(seed: number, length: number): Vector[] {
  const normal = seededNormal(seed);
  return Array.from({ length }, (_, n) => [
    90 * Math.sin(n / 90) + 10 * normal(),
    500 * Math.sin(n / 70) + 30 * normal(),
    300 * Math.cos(n / 110) + 30 * normal(),
  ]);
}

describe.each([
  ['a wander', wander(3, 900), 0],
  ['a tumble', tumble(4, 3000), 100],
] as const)('%s, held to slow references', (_, rates, leastUndefined) => {
  const angles = run(rates, 200);

  test('both agree with the long way round by matrices', () => {
    const slow = slowTwist(rates, 200);
    angles.forEach(([turned, twist], n) => {
      expect(turned).toBeCloseTo(slow[n]!.turnedDeg, 8);
      const { twistDeg } = slow[n]!;
      expect(Number.isNaN(twist)).toBe(Number.isNaN(twistDeg));
      if (!Number.isNaN(twistDeg)) expect(twist).toBeCloseTo(twistDeg, 6);
    });
    expect(angles.filter(([, twist]) => Number.isNaN(twist)).length).toBeGreaterThanOrEqual(leastUndefined);
  });

  test('swing-twist is the twist of the whole turn by the quaternion package, whole turns apart', () => {
    let whole = Quaternion.ONE;
    angles.forEach(([, twist], n) => {
      if (n > 0) {
        const parts = rates[n]!.map((part, k) => (part + rates[n - 1]![k]!) / 2 / 200 / DEG) as [
          number,
          number,
          number,
        ];
        whole = whole.mul(Quaternion.fromAxisAngle(parts, Math.hypot(...parts))).normalize();
      }
      if (Number.isNaN(twist)) return;
      // whole = swing · twist: with the twist about x taken off, the rest has no part about x
      const swing = whole.mul(Quaternion.fromAxisAngle([1, 0, 0], -twist / DEG));
      expect(swing.x).toBeCloseTo(0, 9);
      expect(2 * Math.acos(Math.min(1, Math.abs(swing.w))) * DEG).toBeLessThan(SWING_LIMIT_DEG + 1e-6);
    });
  });
});

describe('near a swing of 180° swing-twist is undefined', () => {
  /** A swing about z by 10 deg a sample, after a twist of `twistDeg` at one go; at 10 Hz. */
  function swingAfter(twistDeg: number, samples: number): [number, number][] {
    const sideways: Vector = [0, 100 * Math.sin(twistDeg / DEG), 100 * Math.cos(twistDeg / DEG)];
    const swing = new Array<Vector>(samples).fill(sideways);
    return run([[0, 0, 0], [20 * twistDeg, 0, 0], [0, 0, 0], [0, 0, 0], ...swing], 10).slice(4);
  }

  test(`it is known to ${SWING_LIMIT_DEG}°, not beyond, and again from the other side`, () => {
    // a sample's turn is the mean of two rates: 5, 15, 25 … degrees
    const known = swingAfter(0, 36).map(([, twist]) => !Number.isNaN(twist));
    known.forEach((isKnown, n) => {
      const swingDeg = 10 * n + 5;
      expect(isKnown, `${swingDeg}°`).toBe(Math.min(swingDeg, 360 - swingDeg) < SWING_LIMIT_DEG);
    });
  });

  test('a full circle in one plane ends with the twist that it began with', () => {
    for (const twistDeg of [0, 30, -75, 400]) {
      const [turned, twist] = swingAfter(twistDeg, 36).at(-1)!;
      expect(turned).toBeCloseTo(2 * twistDeg, 9);
      expect(twist).toBeCloseTo(2 * twistDeg, 9);
    }
  });

  test('full turns made meanwhile are taken from the integrated rate', () => {
    const far = new Array<Vector>(19).fill([0, 0, 100]);
    const spin = new Array<Vector>(72).fill([100, 0, 0]);
    const back = new Array<Vector>(19).fill([0, 0, -100]);
    const still: Vector = [0, 0, 0];
    const [turned, twist] = run([still, ...far, still, ...spin, still, ...back, still], 10).at(-1)!;
    expect(turned).toBeCloseTo(720, 9);
    expect(twist).toBeCloseTo(720, 6);
  });

  test('a start makes it known at once, wherever the blade points', () => {
    const angle = new TwistAngle(10);
    for (let n = 0; n < 18; ++n) angle.step(0, 0, 100, false);
    expect(angle.swingTwistDeg).toBeNaN();
    angle.step(0, 0, 100, true);
    expect(angle.swingTwistDeg).toBe(0);
  });
});

test('gives the same, bit for bit, in chunks beside another stream, and after a reset', () => {
  const rates = wander(5, 500);
  const whole = run(rates, 200);
  const random = seededRandom(6);
  const [one, other] = [new TwistAngle(200), new TwistAngle(200)];
  run(wander(7, 90), 200, one);
  one.reset();
  const chunked: [number, number][] = [];
  while (chunked.length < rates.length) {
    chunked.push(
      ...run(rates.slice(chunked.length, chunked.length + 1 + Math.floor(60 * random())), 200, one),
    );
    run(wander(8, 4), 200, other);
  }
  expect(chunked).toEqual(whole);
});

test('a later sample changes no earlier angle; a NaN counts for no time', () => {
  const rates = wander(9, 100);
  const whole = run(rates, 200);
  const other = run(rates.with(60, [5000, 0, 0]), 200);
  expect(other.slice(0, 60)).toEqual(whole.slice(0, 60));
  expect(other[60]).not.toEqual(whole[60]);
  const broken = run([...rates.slice(0, 60), [Number.NaN, 0, 0], ...rates.slice(60)], 200);
  expect(broken[60]).toEqual(broken[59]);
  expect(broken.toSpliced(60, 1)).toEqual(whole);
});

describe('over a take', () => {
  // one character per 100 ms, at 10 Hz: '.' still, 't' turning about the blade at 100 deg/s; '|' a gap before
  function motionOf(trace: string): Motion {
    const characters = [...trace].filter((c) => c !== '|');
    const starts = [0];
    for (const c of trace) if (c === '|') starts.push(starts.length === 1 ? trace.indexOf('|') : 0);
    const segments = starts.map((start, k) => ({ start, end: starts[k + 1] ?? characters.length }));
    const motion = fakeMotion(new Array(characters.length).fill(0), { rateHz: 10, segments });
    return {
      ...motion,
      gyroXDps: Float64Array.from(characters, (c) => (c === 't' ? 100 : 0)),
      stillMask: Uint8Array.from(characters, (c) => (c === '.' ? 1 : 0)),
    };
  }
  const pressAt = (sample: number): Press => ({
    button: 'any',
    downUs: sample * 100_000 - 30_000,
    upUs: null,
  });

  test.each([
    [
      'takeStart: from the first sample, through rests',
      'takeStart',
      'tttt..tt',
      [],
      [0, 10, 20, 30, 35, 35, 40, 50],
    ],
    ['takeStart: anew behind a gap', 'takeStart', 'ttt|tt', [], [0, 10, 20, 0, 10]],
    ['rest: held at 0 while still', 'rest', '..ttt.tt', [], [0, 0, 5, 15, 25, 0, 5, 15]],
    ['hold: at 0 where a button goes down', 'hold', 'tttttt', [3], [0, 10, 20, 0, 10, 20]],
    ['hold: a press before the take counts as its start', 'hold', 'ttt', [-5], [0, 10, 20]],
    ['hold: two presses between two samples are one start', 'hold', 'tttt', [2, 2], [0, 10, 0, 10]],
    ['hold: a press behind the take does nothing', 'hold', 'ttt', [99], [0, 10, 20]],
  ] as const)('%s', (_, startAt, trace, presses, expected) => {
    const { twistDeg, swingTwistDeg } = computeTwist(motionOf(trace), startAt, presses.map(pressAt));
    expected.forEach((deg, n) => {
      expect(twistDeg[n]!).toBeCloseTo(deg, 9);
      expect(swingTwistDeg[n]!).toBeCloseTo(deg, 9);
    });
  });

  test('an angle that comes back to 0 to the last bit is no start: the dial steps back over it', () => {
    // whole degrees at 128 Hz add up without rounding
    const there = new Array(39).fill(256);
    const back = new Array(78).fill(-256);
    const gyroXDps = Float64Array.from([...there, ...back]);
    const motion = { ...fakeMotion(new Array(117).fill(0), { rateHz: 128 }), gyroXDps };
    const { twistDeg, twistStarts } = computeTwist(motion, 'takeStart', []);
    expect([twistDeg[38], twistDeg[77]! + 0, twistDeg[116]]).toEqual([76, 0, -78]);
    const signals = { ...fakeSignals({ twistDeg }, { rateHz: 128 }), twistStarts };
    const steps = runTwistDial(signals, DEFAULT_CANDIDATE.twist).map((move) => move.steps);
    expect(steps).toEqual([1, 1, 1, 1, 1, -1, -1, -1, -1, -1, -1, -1, -1, -1, -1]);
  });

  test('presses may come in any order', () => {
    const motion = motionOf('tttttttt');
    const there = computeTwist(motion, 'hold', [pressAt(2), pressAt(5)]);
    expect(computeTwist(motion, 'hold', [pressAt(5), pressAt(2)])).toEqual(there);
  });

  test('an empty take gives empty columns', () => {
    expect(computeTwist({ ...motionOf(''), segments: [] }, 'rest', []).twistDeg.length).toBe(0);
  });
});
