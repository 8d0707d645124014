import type { Mount } from '../base/mount.ts';
import { DEG_PER_RAD } from '../base/units.ts';
import { type ArmSpread, armSpread } from '../calibrate/armSpread.ts';
import type { Calibration } from '../calibrate/calibration.ts';
import type { LeverArmFit } from '../calibrate/leverArm.ts';
import { fitMount } from '../calibrate/mountFit.ts';
import type { StillStretch } from '../calibrate/stillStretch.ts';
import { isArmKnown, MOUNT_GOOD_DEG, mountOffDeg } from './lever.ts';
import { type FoundBias, findBias, isGravityMissing, type Rest, type ScaleDoubt } from './rest.ts';

/** Calibration that a take shows of its own sensor, and how sure that is. */
export interface FoundCalibration {
  readonly bias: FoundBias | null;
  readonly scale: FoundScale | null;
  readonly mount: FoundMount | null;
  readonly arm: FoundArm | null;
}

interface FoundScale {
  /** Factor that makes the mean |f| at rest 1 g. */
  readonly accelScale: number;
  /** Half the range of |f| over the rests, as a share of their mean. */
  readonly scatter: number;
  readonly stretches: number;
  /** Largest angle between the directions of up at two rests: only turned rests separate a scale from a bias. */
  readonly turnedDeg: number;
  readonly doubt: ScaleDoubt | null;
  readonly isSure: boolean;
}

interface FoundMount {
  readonly mount: Mount;
  /** Angle between the blade as found and as the set mount has it. */
  readonly offDeg: number;
  readonly coneDeg: number;
  readonly isSure: boolean;
}

export interface FoundArm {
  readonly leverArmM: number;
  readonly lowM: number;
  readonly highM: number;
  readonly spread: ArmSpread | null;
  readonly isSure: boolean;
}

/** Rests turned by less than this show one direction only, where a bias looks like a scale. */
const TURNED_GOOD_DEG = 60;
/** Where |f| differs by more between rests, the axes have biases, and it is no scale. */
const SCATTER_GOOD = 0.01;
/** A correction below this is within what the fit can tell. */
const CORRECTION_LEAST_DEG = 0.5;

export function findCalibration(
  rest: Rest,
  fit: LeverArmFit | null,
  current: Pick<Calibration, 'mount'>,
): FoundCalibration {
  return {
    bias: findBias(rest),
    // A force that reads next to nothing at rest has no scale, or any.
    scale: isGravityMissing(rest) ? null : findScale(rest.stretches),
    mount: fit && isArmKnown(fit) ? findMount(fit, current.mount) : null,
    arm: fit && {
      leverArmM: fit.leverArmM,
      lowM: fit.lowM,
      highM: fit.highM,
      spread: armSpread(fit.stretches),
      isSure: isArmKnown(fit),
    },
  };
}

function findScale(stretches: readonly StillStretch[]): FoundScale | null {
  if (stretches.length === 0) return null;
  const norms = stretches.map(({ accelXG, accelYG, accelZG }) => Math.hypot(accelXG, accelYG, accelZG));
  const total = stretches.reduce((sum, { samples }) => sum + samples, 0);
  const mean = norms.reduce((sum, norm, k) => sum + norm * stretches[k]!.samples, 0) / total;
  const scatter = (Math.max(...norms) - Math.min(...norms)) / (2 * mean);
  const turnedDeg = widestTurnDeg(stretches, norms);
  const doubt = turnedDeg < TURNED_GOOD_DEG ? 'sameWayUp' : scatter > SCATTER_GOOD ? 'scatter' : null;
  return {
    accelScale: 1 / mean,
    scatter,
    stretches: stretches.length,
    turnedDeg,
    doubt,
    isSure: doubt === null,
  };
}

function widestTurnDeg(stretches: readonly StillStretch[], norms: readonly number[]): number {
  let widest = 0;
  stretches.forEach((a, i) => {
    stretches.slice(0, i).forEach((b, j) => {
      const dot = a.accelXG * b.accelXG + a.accelYG * b.accelYG + a.accelZG * b.accelZG;
      const cos = Math.max(-1, Math.min(1, dot / (norms[i]! * norms[j]!)));
      widest = Math.max(widest, Math.acos(cos) * DEG_PER_RAD);
    });
  });
  return widest;
}

/** The sensor axis nearest to the blade as tip, and the remaining turn where it is worth correcting. */
function findMount(fit: LeverArmFit, current: Mount): FoundMount {
  const { mount, correctionDeg } = fitMount(fit.bladeAxis, current.side);
  const isWorth =
    fit.coneDeg <= MOUNT_GOOD_DEG && correctionDeg >= Math.max(CORRECTION_LEAST_DEG, fit.coneDeg);
  return {
    mount: isWorth ? mount : { tip: mount.tip, side: mount.side },
    offDeg: mountOffDeg(fit, current),
    coneDeg: fit.coneDeg,
    // Sure where the blade, anywhere in its cone, is nearer to this axis than to any other.
    isSure: correctionDeg + fit.coneDeg < 45,
  };
}
