import { describe, expect, test } from 'vitest';
import { isIdentityMatrix, listMounts, type Mount, mountMatrix } from '../../../server/engine/base/mount.ts';
import {
  apply,
  determinant,
  IDENTITY,
  type Matrix,
  matrixOfVector,
  times,
  transpose,
  type Vector,
} from '../../reference/rotation.ts';
import { applyMount } from '../applyMount.ts';
import { fc } from '../properties.ts';
import { wildLog } from '../uniformLogs.ts';

function matrixOf(mount: Mount): Matrix {
  const m = mountMatrix(mount);
  return [0, 3, 6].map((row) => [m[row]!, m[row + 1]!, m[row + 2]!] as const);
}

function expectSame(a: Matrix, b: Matrix): void {
  a.forEach((row, r) => {
    row.forEach((value, c) => {
      expect(value).toBeCloseTo(b[r]![c]!, 12);
    });
  });
}

const name = ({ tip, side }: Mount) => `tip ${tip}, side ${side}`;
const AXES: Readonly<Record<string, Vector>> = { x: [1, 0, 0], y: [0, 1, 0], z: [0, 0, 1] };

function axis(of: string): Vector {
  const sign = of[0] === '-' ? -1 : 1;
  return AXES[of[1]!]!.map((part) => sign * part) as unknown as Vector;
}

test('there are 24, all different', () => {
  expect(listMounts().length).toBe(24);
  expect(new Set(listMounts().map((mount) => mountMatrix(mount).join())).size).toBe(24);
});

describe.each(listMounts().map((mount) => [name(mount), mount] as const))('%s', (_, mount) => {
  test('is a rotation', () => {
    const m = matrixOf(mount);
    expect(determinant(m)).toBe(1);
    expectSame(times(m, transpose(m)), IDENTITY);
  });

  test('takes its axes where it says', () => {
    const m = matrixOf(mount);
    apply(m, axis(mount.tip)).forEach((part, k) => {
      expect(part).toBeCloseTo([1, 0, 0][k]!, 12);
    });
    apply(m, axis(mount.side)).forEach((part, k) => {
      expect(part).toBeCloseTo([0, 1, 0][k]!, 12);
    });
  });

  test('is undone by the one whose matrix is its transpose', () => {
    const back = listMounts().find((other) =>
      mountMatrix(other).every((v, k) => v === mountMatrix(mount)[3 * (k % 3) + Math.trunc(k / 3)]!),
    );
    const log = wildLog(5, 20);
    const there = applyMount(applyMount(log, mount), back!);
    for (const column of ['gyroXDps', 'gyroYDps', 'gyroZDps', 'accelXG', 'accelYG', 'accelZG'] as const)
      expect(there[column]).toEqual(log[column]);
  });
});

test('the identity is one of them and knows itself', () => {
  expect(
    listMounts()
      .filter((mount) => isIdentityMatrix(mountMatrix(mount)))
      .map(name),
  ).toEqual(['tip +x, side +y']);
});

describe('a correction', () => {
  const part = fc.double({ min: -20, max: 20, noNaN: true });

  test('is a turn of the prop frame on top of the axes: still a rotation, and Rodrigues’ one', () => {
    fc.assert(
      fc.property(fc.constantFrom(...listMounts()), part, part, part, (mount, x, y, z) => {
        const corrected = matrixOf({ ...mount, correctionDeg: [x, y, z] });
        expect(determinant(corrected)).toBeCloseTo(1, 12);
        const turn = matrixOfVector([x, y, z].map((deg) => (deg * Math.PI) / 180) as unknown as Vector);
        expectSame(corrected, times(turn, matrixOf(mount)));
      }),
    );
  });

  test('of 5° about prop z lifts the tip axis by 5° toward y', () => {
    const [x, y] = apply(matrixOf({ tip: '+z', side: '-x', correctionDeg: [0, 0, 5] }), [0, 0, 1]);
    expect(Math.atan2(y, x)).toBeCloseTo((5 * Math.PI) / 180, 14);
  });

  test('of nothing is nothing', () => {
    expect(mountMatrix({ tip: '-y', side: '+x', correctionDeg: [0, 0, 0] })).toEqual(
      mountMatrix({ tip: '-y', side: '+x' }),
    );
  });
});

test('rates and forces turn alike; time, marks and segments stay', () => {
  const log = wildLog(7, 10);
  const turned = applyMount(log, { tip: '+y', side: '-x' });
  expect(turned.gyroXDps).toEqual(log.gyroYDps);
  expect(turned.accelXG).toEqual(log.accelYG);
  expect(turned.gyroYDps[3]).toBe(-log.gyroXDps[3]!);
  expect(turned.timeUs).toBe(log.timeUs);
  expect(turned.segments).toBe(log.segments);
});

test.each([
  ['+x', '+x'],
  ['+x', '-x'],
  ['-z', '+z'],
] as const)('tip %s with side %s is refused', (tip, side) => {
  expect(() => mountMatrix({ tip, side })).toThrow(
    `a mount needs two different axes, got ${tip} and ${side}`,
  );
});
