import { DEG_PER_RAD } from '../base/units.ts';
import type { StretchPairs } from './stretchPairs.ts';

/** A tilt smaller than this within four seconds would leave gravity about where it is. */
const TILTED_LEAST_DEG = 25;
/** A tilt larger than this is more than anything hanging or flying does: then the rates are wrong. */
const TILTED_MOST_DEG = 120;

/**
 * Whether the force stays along the sensor although the rates tilt the prop, by more than would go unseen and less than
 * is impossible for a thing that hangs or flies. Such a force does not show which way is up: on a string, or under its
 * own thrust, a body feels its force along itself.
 */
export function staysAlongBody(pairs: StretchPairs): boolean {
  const tiltedDeg = pairs.mostTiltRad() * DEG_PER_RAD;
  return tiltedDeg >= TILTED_LEAST_DEG && tiltedDeg <= TILTED_MOST_DEG;
}
