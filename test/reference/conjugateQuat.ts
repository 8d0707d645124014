import type { Quat } from '../../server/engine/base/quat.ts';

/** The turn back. */
export function conjugateQuat(q: Quat): Quat {
  return Float64Array.of(q[0]!, -q[1]!, -q[2]!, -q[3]!);
}
