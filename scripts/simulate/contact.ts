import type { Choreography } from './choreography.ts';
import { wave } from './piece.ts';
import { type Lobe, push } from './push.ts';
import { GRAVITY_MPS2 } from './rigidBody.ts';

interface ThrustShape {
  /** Peak acceleration of the hand along the blade. */
  readonly driveG: number;
  readonly driveS: number;
  /** Peak of the shock from the pad; null for a thrust into the air. */
  readonly padG: number | null;
  /** Length of the shock, 0.004 to 0.008. */
  readonly shockS?: number;
}

/** A thrust along the blade: drive, shock of the pad with its ring, the rest of the speed taken up, and back. */
export function thrust(c: Choreography, shape: ThrustShape): void {
  const { driveG, driveS, padG } = shape;
  const contactS = driveS + c.between(0.004, 0.015);
  const shockS = shape.shockS ?? c.between(0.004, 0.008);
  const lobes: Lobe[] = [{ shape: 'smooth', atS: 0, durationS: driveS, peak: driveG * GRAVITY_MPS2 }];
  if (padG !== null) lobes.push(...shock(contactS, shockS, -padG));
  lobes.push(takenUp(driveG, driveS, padG, contactS, shockS));
  const endS = contactS + 0.16;
  c.moveHand(c.axisAt(0, c.nowS), push(c.nowS, lobes, endS, 0.8));
  c.add('lift', wave(c.nowS, endS, endS / 2, { amplitude: c.between(-1.5, 1.5), hz: 3 }));
  c.thrusts.push({ startS: c.nowS, endS: c.nowS + driveS, peakG: driveG, meetsPad: padG !== null });
  if (padG !== null) {
    c.hits.push({ tS: c.nowS + contactS + shockS / 2, peakG: padG });
    shudder(c, c.nowS + contactS);
  }
  c.wait(endS + 0.8);
}

/**
 * A knock on the blade from the side, at a moment of a swing that is already written; `peakG` is positive along the
 * prop's +y, so it opposes a swing to the positive side where it is negative.
 */
export function knock(c: Choreography, tS: number, peakG: number): void {
  const shockS = c.between(0.004, 0.007);
  const sideways = c.axisAt(1, tS);
  c.moveHand(sideways, push(tS, shock(0, shockS, peakG), 0.12, 0.35));
  c.hits.push({ tS: tS + shockS / 2, peakG: Math.abs(peakG) });
  shudder(c, tS);
}

/** A half-sine pulse, and the ring of the blade that it sets off. */
function shock(atS: number, shockS: number, peakG: number): Lobe[] {
  const peak = peakG * GRAVITY_MPS2;
  return [
    { shape: 'sharp', atS, durationS: shockS, peak },
    { shape: 'ring', atS: atS + shockS, durationS: 0.011, peak: -0.4 * peak, hz: 85 },
  ];
}

/** What pad or arm takes up of the speed that the shock left. */
function takenUp(
  driveG: number,
  driveS: number,
  padG: number | null,
  contactS: number,
  shockS: number,
): Lobe {
  const drivenG = (driveG * driveS) / 2;
  const shockedG = padG === null ? 0 : (2 * padG * shockS) / Math.PI;
  const durationS = padG === null ? 0.14 : 0.1;
  const peak = (-2 * (drivenG - shockedG) * GRAVITY_MPS2) / durationS;
  return { shape: 'smooth', atS: contactS + (padG === null ? 0 : shockS), durationS, peak };
}

/** The hand gives way and swings back, too short and small to be a swing. */
function shudder(c: Choreography, tS: number): void {
  for (const joint of ['swing', 'lift'] as const) {
    c.add(joint, wave(tS, 0.2, 0.05, { amplitude: c.between(0.1, 0.25), hz: c.between(18, 24) }));
  }
}
