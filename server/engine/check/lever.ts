import { type Mount, mountMatrix } from '../base/mount.ts';
import { DEG_PER_RAD } from '../base/units.ts';
import { armSpread, pullG } from '../calibrate/armSpread.ts';
import type { Calibration } from '../calibrate/calibration.ts';
import type { LeverArmFit } from '../calibrate/leverArm.ts';
import { counted, figure, percent } from './figures.ts';
import { type CheckLine, cautions, passes } from './line.ts';
import type { SwingSummary } from './swings.ts';

/** A blade axis off by this much loses 3 % of the swing speed and gains a quarter of it as twist. */
export const MOUNT_GOOD_DEG = 15;
/** Known no better than to a third, a lever arm leaves as much pull in the thrust as a weak stab. */
export const ARM_GOOD_SHARE = 0.3;
/** An arm that explains less than half of the swings' force is no arm: the body moved, or the axes are mixed up. */
export const EXPLAINED_LEAST = 0.5;
/** Thrust left over in the fastest swing: a quarter of a usual stab threshold. */
export const THRUST_LEFT_GOOD_G = 0.4;
/** How far the lever arms of the middle half of the swings reach from their median. */
export function armReachM({ stretches }: LeverArmFit): number {
  const spread = armSpread(stretches);
  return spread ? Math.max(spread.highM - spread.medianM, spread.medianM - spread.lowM) : 0;
}

/** Angle between the blade as the swings show it and as the mount has it. */
export function mountOffDeg({ bladeAxis: [x, y, z] }: LeverArmFit, mount: Mount): number {
  const m = mountMatrix(mount);
  const along = m[0]! * x + m[1]! * y + m[2]! * z;
  return Math.acos(Math.max(-1, Math.min(1, along))) * DEG_PER_RAD;
}

/**
 * @param calibration  what is set; null where nobody has set one yet, and what is found stands on its own
 * @param mount  as it is set or stated; null where the swings alone show how the sensor sits
 */
export function checkLever(
  fit: LeverArmFit | null,
  calibration: Calibration | null,
  { peakDps }: SwingSummary,
  mount: Mount | null = calibration?.mount ?? null,
): CheckLine {
  const record = 'Record ten swings or more from one turning point, in two planes.';
  if (!fit)
    return cautions(
      'lever',
      'Not tested: fewer than four sound swings.',
      record,
      'the mount, and thrust in swings, as nothing proves them',
    );
  const found = foundWords(fit);
  if (!isArmKnown(fit))
    return cautions('lever', `${found} That is too unsure to set.`, record, 'thrust in swings');
  const offDeg = mount ? mountOffDeg(fit, mount) : 0;
  if (offDeg > MOUNT_GOOD_DEG + fit.coneDeg)
    return cautions(
      'lever',
      `${found} The mount that is set has the blade ${figure(offDeg, 2)}° away from that.`,
      'Accept the mount on the calibration card, or correct it there.',
      'swing speed, twist and thrust until the mount is right',
    );
  if (!calibration) return passes('lever', found);
  const leftG = pullG(Math.abs(calibration.leverArmM - fit.leverArmM), peakDps);
  if (!isArmSet(fit, calibration.leverArmM) && leftG > THRUST_LEFT_GOOD_G)
    return cautions(
      'lever',
      `${found} ${figure(calibration.leverArmM)} m is set, which leaves ${figure(leftG, 2)} g of the fastest swing’s pull in the thrust.`,
      'Accept the lever arm on the calibration card.',
      'thrust in swings',
    );
  return passes('lever', `${found} ${figure(calibration.leverArmM)} m is set.`);
}

/** Known well enough to be set. */
export function isArmKnown({ leverArmM, lowM, highM, explained }: LeverArmFit): boolean {
  return highM - lowM <= 2 * ARM_GOOD_SHARE * leverArmM && explained >= EXPLAINED_LEAST;
}

/** The arm that is set lies where the swings have it, by the interval of their mean or by their middle half. */
export function isArmSet(fit: LeverArmFit, setM: number): boolean {
  return Math.abs(setM - fit.leverArmM) <= Math.max((fit.highM - fit.lowM) / 2, armReachM(fit));
}

function foundWords(fit: LeverArmFit): string {
  const { leverArmM, lowM, highM, stretches, explained, coneDeg } = fit;
  const range = `${leverArmM.toFixed(3)} m (at least 95 %: ${lowM.toFixed(3)} to ${highM.toFixed(3)})`;
  const axis =
    coneDeg <= MOUNT_GOOD_DEG
      ? `, the blade’s axis known within ${figure(coneDeg, 2)}°`
      : ', the blade’s axis not known well enough to test the mount';
  const spread = armSpread(stretches);
  const single = spread
    ? `; the middle half of single swings shows ${spread.lowM.toFixed(3)} to ${spread.highM.toFixed(3)} m`
    : '';
  return `The sensor sits ${range} from the turning point${axis}${single}. ${percent(explained)} of the force in ${counted(stretches.length, 'stretch', 'stretches')} is explained.`;
}
