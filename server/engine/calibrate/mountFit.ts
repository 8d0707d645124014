import { AXIS_NAMES, type AxisName, type Mount, mountMatrix } from '../base/mount.ts';
import { DEG_PER_RAD } from '../base/units.ts';

/** A mount whose blade is the one that the swings show. */
interface MountFit {
  /** The nearest of the 24 mounts, corrected. */
  readonly mount: Mount;
  /** Angle between the nearest of the 24 mounts and the blade, in degrees; the correction is as large. */
  readonly correctionDeg: number;
}

/**
 * The mount that turns a blade axis, given in the sensor's frame, onto prop +x: the nearest of the 24, then the
 * shortest turn that remains. Swings do not show how the grip is turned about the blade: the side axis stays as set,
 * where the tip leaves it free.
 * @param bladeAxis  toward the tip; of any length above 0.
 * @param side  the side axis that is set.
 * @throws RangeError  if the blade axis has no direction.
 */
export function fitMount(bladeAxis: readonly [number, number, number], side: AxisName = '+y'): MountFit {
  const size = Math.sqrt(bladeAxis[0] ** 2 + bladeAxis[1] ** 2 + bladeAxis[2] ** 2);
  if (!(size > 0 && Number.isFinite(size)))
    throw new RangeError(`bladeAxis needs a direction, got ${bladeAxis}`);
  const tip = nearestAxis(bladeAxis);
  const plain: Mount = { tip, side: sideFor(tip, side) };
  const m = mountMatrix(plain);
  const along = (row: number): number =>
    (m[row]! * bladeAxis[0] + m[row + 1]! * bladeAxis[1] + m[row + 2]! * bladeAxis[2]) / size;
  const [x, y, z] = [along(0), along(3), along(6)];
  // The shortest turn of (x, y, z) onto (1, 0, 0): about their cross product, (0, z, -y).
  const sine = Math.sqrt(y * y + z * z);
  const angleDeg = Math.atan2(sine, x) * DEG_PER_RAD;
  if (sine === 0) return { mount: plain, correctionDeg: 0 };
  const correctionDeg = [0, (z / sine) * angleDeg, (-y / sine) * angleDeg] as const;
  return { mount: { ...plain, correctionDeg }, correctionDeg: angleDeg };
}

function nearestAxis(v: readonly [number, number, number]): AxisName {
  const along = (name: AxisName): number =>
    (name[0] === '-' ? -1 : 1) * v[name[1] === 'x' ? 0 : name[1] === 'y' ? 1 : 2];
  return AXIS_NAMES.reduce((best, name) => (along(name) > along(best) ? name : best));
}

/** The side axis as set; where the tip takes that axis, the next one. */
function sideFor(tip: AxisName, side: AxisName): AxisName {
  if (side[1] !== tip[1]) return side;
  return tip[1] === 'x' ? '+y' : tip[1] === 'y' ? '+z' : '+x';
}
