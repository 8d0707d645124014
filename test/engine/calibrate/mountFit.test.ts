import { describe, expect, test } from 'vitest';
import { AXIS_NAMES, listMounts, mountMatrix } from '../../../server/engine/base/mount.ts';
import { fitMount } from '../../../server/engine/calibrate/mountFit.ts';
import { fc } from '../properties.ts';

type Axis = readonly [number, number, number];

/** Prop coordinates of a sensor vector. */
function turned(matrix: Float64Array, [x, y, z]: Axis): number[] {
  return [0, 3, 6].map((row) => matrix[row]! * x + matrix[row + 1]! * y + matrix[row + 2]! * z);
}

/** The blade's axis in the sensor's frame: the first row of the mount's matrix. */
function bladeOf(matrix: Float64Array): Axis {
  return [matrix[0]!, matrix[1]!, matrix[2]!];
}

test('each of the 24 mounts comes back from its blade and its side', () => {
  for (const mount of listMounts()) {
    const fitted = fitMount(bladeOf(mountMatrix(mount)), mount.side);
    expect(fitted).toEqual({ mount, correctionDeg: 0 });
  }
});

test('a mount that is off by some degrees across the blade comes back as it was', () => {
  const part = fc.double({ min: -20, max: 20, noNaN: true });
  fc.assert(
    fc.property(fc.constantFrom(...listMounts()), part, part, (mount, y, z) => {
      const right = mountMatrix({ ...mount, correctionDeg: [0, y, z] });
      const { mount: fitted, correctionDeg } = fitMount(bladeOf(right), mount.side);
      expect([fitted.tip, fitted.side]).toEqual([mount.tip, mount.side]);
      expect(correctionDeg).toBeCloseTo(Math.hypot(y, z), 9);
      mountMatrix(fitted).forEach((value, k) => {
        expect(value).toBeCloseTo(right[k]!, 9);
      });
    }),
  );
});

test('whatever the axis and its length, it becomes prop +x, by a turn of 54.7° at most', () => {
  const part = fc.double({ min: -9, max: 9, noNaN: true });
  fc.assert(
    fc.property(part, part, part, fc.constantFrom(...AXIS_NAMES), (x, y, z, side) => {
      const size = Math.hypot(x, y, z);
      fc.pre(size > 1e-6);
      const { mount, correctionDeg } = fitMount([x, y, z], side);
      turned(mountMatrix(mount), [x / size, y / size, z / size]).forEach((value, k) => {
        expect(value).toBeCloseTo([1, 0, 0][k]!, 9);
      });
      // the corner of a cube is acos(1/√3) from its three axes
      expect(correctionDeg).toBeLessThan(54.7357);
    }),
  );
});

describe('the side that is set', () => {
  test('stays where the tip leaves it free', () => {
    expect(fitMount([0, 0, 1], '-x').mount).toEqual({ tip: '+z', side: '-x' });
  });
  test.each([
    ['+x', [0.9, 0.1, 0], '+y'],
    ['-y', [0, -1, 0.1], '+z'],
    ['+z', [0, 0.1, -2], '+x'],
  ] as const)('%s gives way to the next where the tip takes its axis', (side, axis, next) => {
    expect(fitMount(axis, side).mount.side).toBe(next);
  });
});

test.each([
  [0, 0, 0],
  [Number.NaN, 0, 1],
  [Number.POSITIVE_INFINITY, 0, 0],
])('an axis of (%d, %d, %d) has no direction and is refused', (...axis) => {
  expect(() => fitMount(axis as Axis)).toThrow('bladeAxis needs a direction');
});
