import { Quaternion } from 'quaternion';
import { describe, expect, test } from 'vitest';
import {
  identityQuat,
  multiplyQuat,
  normaliseQuat,
  type Quat,
  quatFromVectorRad,
  rotateByQuat,
  twistAboutXRad,
} from '../../../server/engine/base/quat.ts';
import { DEG_PER_RAD, RAD_PER_DEG } from '../../../server/engine/base/units.ts';
import { conjugateQuat } from '../../reference/conjugateQuat.ts';
import { apply, matrixOfVector, type Vector } from '../../reference/rotation.ts';
import { fc } from '../properties.ts';

const q = (w: number, x: number, y: number, z: number): Quat => Float64Array.of(w, x, y, z);

function turn(deg: number, axis: Vector): Quat {
  const k = (deg * RAD_PER_DEG) / Math.hypot(...axis);
  return quatFromVectorRad(axis[0] * k, axis[1] * k, axis[2] * k);
}

function expectClose(actual: ArrayLike<number>, expected: ArrayLike<number>, digits = 10): void {
  expect(actual.length).toBe(expected.length);
  for (let k = 0; k < expected.length; ++k) expect(actual[k]!).toBeCloseTo(expected[k]!, digits);
}

describe("Hamilton's product", () => {
  const [i, j, k] = [q(0, 1, 0, 0), q(0, 0, 1, 0), q(0, 0, 0, 1)] as const;
  test('ij = k and ijk = -1 (Hamilton 1843)', () => {
    expect(multiplyQuat(i, j)).toEqual(k);
    expect(multiplyQuat(multiplyQuat(i, j), k)).toEqual(q(-1, 0, 0, 0));
  });

  test('(1,2,3,4)(5,6,7,8) and the other way round; lengths multiply', () => {
    // [recomputed; two npm libraries agree]
    const [a, b] = [q(1, 2, 3, 4), q(5, 6, 7, 8)];
    expect(multiplyQuat(a, b)).toEqual(q(-60, 12, 30, 24));
    expect(multiplyQuat(b, a)).toEqual(q(-60, 20, 14, 32));
    expect(Math.hypot(...multiplyQuat(a, b))).toBeCloseTo(72.2495675, 7);
  });

  test('may be written over either factor', () => {
    for (const k of [0, 1]) {
      const factors = [q(1, 2, 3, 4), q(5, 6, 7, 8)] as const;
      expect(multiplyQuat(factors[0], factors[1], factors[k]!)).toEqual(q(-60, 12, 30, 24));
    }
  });

  test('is that of the quaternion package', () => {
    const part = fc.double({ min: -10, max: 10, noNaN: true });
    const four = fc.tuple(part, part, part, part);
    fc.assert(
      fc.property(four, four, (a, b) => {
        const { w, x, y, z } = new Quaternion(a).mul(new Quaternion(b));
        expectClose(multiplyQuat(q(...a), q(...b)), [w, x, y, z]);
      }),
    );
  });
});

describe('turning vectors', () => {
  test('120° about (1,1,1) is (½,½,½,½) and takes x to y to z to x', () => {
    const third = turn(120, [1, 1, 1]);
    expectClose(third, [0.5, 0.5, 0.5, 0.5]);
    expectClose(rotateByQuat(third, 1, 0, 0), [0, 1, 0]);
    expectClose(rotateByQuat(third, 0, 1, 0), [0, 0, 1]);
    expectClose(rotateByQuat(third, 0, 0, 1), [1, 0, 0]);
  });

  test('90° about z takes x to y; q and -q are the same turn', () => {
    const quarter = turn(90, [0, 0, 1]);
    expectClose(quarter, [Math.SQRT1_2, 0, 0, Math.SQRT1_2]);
    expectClose(rotateByQuat(quarter, 1, 0, 0), [0, 1, 0]);
    expectClose(
      rotateByQuat(
        quarter.map((part) => -part),
        1,
        0,
        0,
      ),
      [0, 1, 0],
    );
  });

  test("Rodrigues' formula: x turned by 60° about (1,2,2)/3", () => {
    // Rodrigues 1840 [recomputed two ways]
    expectClose(rotateByQuat(turn(60, [1, 2, 2]), 1, 0, 0), [0.5555555556, 0.6884613803, -0.4662391581], 9);
  });

  test('agrees with the matrix of the same rotation vector', () => {
    const part = fc.double({ min: -5, max: 5, noNaN: true });
    const three = fc.tuple(part, part, part);
    fc.assert(
      fc.property(three, three, (v, p) => {
        expectClose(rotateByQuat(quatFromVectorRad(...v), ...p), apply(matrixOfVector(v), p), 9);
      }),
    );
  });

  test('the conjugate turns back', () => {
    const there = turn(77, [3, -1, 2]);
    const [x, y, z] = rotateByQuat(there, 1, 2, 3);
    expectClose(rotateByQuat(conjugateQuat(there), x!, y!, z!), [1, 2, 3]);
  });
});

describe('turns do not commute', () => {
  const about = (deg: number) => [turn(deg, [1, 0, 0]), turn(deg, [0, 1, 0])] as const;
  test('90° about x and y, in both orders', () => {
    const [x, y] = about(90);
    expectClose(multiplyQuat(x, y), [0.5, 0.5, 0.5, 0.5]);
    expectClose(multiplyQuat(y, x), [0.5, 0.5, 0.5, -0.5]);
  });

  // Angle of the commutator of two turns by ε [recomputed]; about ε² for small ones
  test.each([
    [1, 0.0174528495],
    [5, 0.4360557413],
    [10, 1.7409200099],
  ])('the commutator of %d° is %d°', (deg, expected) => {
    const [x, y] = about(deg);
    const commutator = multiplyQuat(multiplyQuat(x, y), conjugateQuat(multiplyQuat(y, x)));
    expect(2 * Math.asin(Math.hypot(...commutator.subarray(1))) * DEG_PER_RAD).toBeCloseTo(expected, 9);
  });
});

describe('the exponential map', () => {
  // q = (cos |ω|t/2, ω̂ sin |ω|t/2), closed form of a constant body rate [recomputed]
  test.each([
    [
      [10, 20, 30],
      [0.947163896209, 0.085724039684, 0.171448079369, 0.257172119053],
    ],
    [
      [100, 200, 300],
      [-0.992368848697, -0.032954587948, -0.065909175896, -0.098863763844],
    ],
    [
      [360, 0, 0],
      [-1, 0, 0, 0],
    ],
  ] as const)('of one second at %j deg/s', (rate, expected) => {
    const [x, y, z] = rate.map((part) => part * RAD_PER_DEG) as [number, number, number];
    expectClose(quatFromVectorRad(x, y, z), expected, 11);
    // and in a thousand steps
    const whole = identityQuat();
    for (let n = 0; n < 1000; ++n)
      multiplyQuat(whole, quatFromVectorRad(x / 1000, y / 1000, z / 1000), whole);
    expectClose(whole, expected, 11);
  });

  test('is exact to the last bits on both sides of where its series begins', () => {
    for (const angle of [0, 1e-12, 1e-5, 0.01, 0.19, 0.19999, 0.2, 0.20001, 0.21, 1, 3]) {
      const turned = quatFromVectorRad(angle, 0, 0);
      expect(Math.abs(turned[0]! - Math.cos(angle / 2))).toBeLessThan(2.3e-16);
      expect(Math.abs(turned[1]! - Math.sin(angle / 2))).toBeLessThan(2.3e-16);
    }
  });

  test('has length 1', () => {
    const part = fc.double({ min: -20, max: 20, noNaN: true });
    fc.assert(
      fc.property(part, part, part, (x, y, z) => {
        expect(Math.hypot(...quatFromVectorRad(x, y, z))).toBeCloseTo(1, 14);
      }),
    );
  });
});

test('normalising makes the length 1 and keeps the direction', () => {
  expectClose(normaliseQuat(q(2, 0, -2, 0)), [Math.SQRT1_2, 0, -Math.SQRT1_2, 0], 15);
});

describe('twist about the blade', () => {
  // Swing-twist decomposition: Dobrowolski, arXiv 1506.05481 (cited from memory) [recomputed]
  test.each([
    ['40° about y, then 30°', [0.90767337119, 0.2432103468, 0.33036608955, -0.0885213269], 30],
    ['60° about y, then 90°', [0.6123724357, 0.6123724357, 0.35355339059, -0.35355339059], 90],
    ['75° about (0,1,1), then -120°', [0.39667667015, -0.68706414687, -0.15755905175, 0.58801838633], -120],
    ['10° about z, then 170°', [0.08682408883, 0.99240387651, 0.08682408883, 0.00759612349], 170],
    [
      'yaw 30°, pitch 20°, roll 10°',
      [0.95154852464, 0.03813457648, 0.18930785741, 0.23929833775],
      4.5899533156,
    ],
  ] as const)('%s', (_, parts, twistDeg) => {
    expect(twistAboutXRad(Float64Array.from(parts)) * DEG_PER_RAD).toBeCloseTo(twistDeg, 7);
    expect(twistAboutXRad(Float64Array.from(parts, (part) => -part)) * DEG_PER_RAD).toBeCloseTo(twistDeg, 7);
  });

  test('yaw 90° and pitch 45° twist by -45°, though nothing rolled', () => {
    const both = multiplyQuat(turn(90, [0, 0, 1]), turn(45, [0, 1, 0]));
    expect(twistAboutXRad(both) * DEG_PER_RAD).toBeCloseTo(-45, 10);
  });

  test('what is built as swing after twist comes apart again', () => {
    const swingDeg = fc.double({ min: -175, max: 175, noNaN: true });
    const twistDeg = fc.double({ min: -179, max: 179, noNaN: true });
    const direction = fc.double({ min: 0, max: 6.28, noNaN: true });
    fc.assert(
      fc.property(swingDeg, twistDeg, direction, (swing, twist, phi) => {
        const whole = multiplyQuat(turn(swing, [0, Math.cos(phi), Math.sin(phi)]), turn(twist, [1, 0, 0]));
        expect(twistAboutXRad(whole) * DEG_PER_RAD).toBeCloseTo(twist, 8);
      }),
    );
  });

  test('is not a number where the swing reaches 180°', () => {
    expect(twistAboutXRad(q(0, 0, 1, 0))).toBeNaN();
    expect(twistAboutXRad(q(0, 0, -Math.SQRT1_2, Math.SQRT1_2))).toBeNaN();
  });
});
