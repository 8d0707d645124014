import { DEG_PER_RAD } from '../base/units.ts';
import type { StretchPairs } from './carriedForce.ts';

/** Tilted by less within four seconds, gravity too would stay where it is, about. */
const TILTED_LEAST_DEG = 25;
/** Tilted by more, nothing hangs or flies like that: then the rates are wrong. */
const TILTED_MOST_DEG = 120;

/**
 * Whether the prop tilts, by its rates, as far as gravity would show, and not so far that no hanging or flying thing would:
 * where the force all the while stays where it is in the sensor, it is no measure of which way is up. Whatever hangs from a
 * string, or is carried by its own thrust, feels its force along itself.
 */
export function staysAlongBody(pairs: StretchPairs): boolean {
  const tiltedDeg = pairs.mostTiltRad() * DEG_PER_RAD;
  return tiltedDeg >= TILTED_LEAST_DEG && tiltedDeg <= TILTED_MOST_DEG;
}
