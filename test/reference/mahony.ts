import { multiplyQuat, type Quat, quatFromVectorRad, rotateByQuat } from '../../server/engine/base/quat.ts';
import { conjugateQuat } from './conjugateQuat.ts';

/**
 * One step of the explicit complementary filter without its integral (Mahony, Hamel and Pflimlin, IEEE Trans. Automatic
 * Control 53(5), 2008; cited from memory): the rate is corrected by kp times force × up, then integrated exactly.
 */
export function mahonyStep(
  q: Quat,
  gyroRadps: readonly [number, number, number],
  force: readonly [number, number, number],
  kp: number,
  stepS: number,
): Quat {
  const [ux, uy, uz] = rotateByQuat(conjugateQuat(q), 0, 0, 1) as unknown as [number, number, number];
  const size = Math.hypot(...force);
  const [fx, fy, fz] = force.map((part) => part / size) as [number, number, number];
  const error = [fy * uz - fz * uy, fz * ux - fx * uz, fx * uy - fy * ux];
  const [wx, wy, wz] = gyroRadps.map((rate, i) => (rate + kp * error[i]!) * stepS) as [
    number,
    number,
    number,
  ];
  return multiplyQuat(q, quatFromVectorRad(wx, wy, wz));
}
