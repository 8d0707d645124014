import type { UniformLog } from '../base/log.ts';
import { IDENTITY_MOUNT, type Mount, mountMatrix } from '../base/mount.ts';
import { DEG_PER_RAD } from '../base/units.ts';
import { type ArmSpread, armSpread, pullG } from '../calibrate/armSpread.ts';
import { type Calibration, isMountStated } from '../calibrate/calibration.ts';
import type { LeverArmFit } from '../calibrate/leverArm.ts';
import type { Line } from './line.ts';
import type { SwingSummary } from './swings.ts';

/** A blade axis off by this much loses 3 % of the swing speed and gains a quarter of it as twist. */
export const MOUNT_GOOD_DEG = 15;
/** Known no better than to a third, a lever arm leaves as much pull in the thrust as a weak stab. */
const ARM_GOOD_SHARE = 0.3;
/** An arm that explains less than half of the swings' force is no arm: the body moved, or the axes are mixed up. */
const EXPLAINED_LEAST = 0.5;
/** Thrust left over in the fastest swing: a quarter of a usual stab threshold. */
const THRUST_LEFT_GOOD_G = 0.4;

/** Distance from the median lever arm to the farther quartile of the swings. */
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

export interface LeverLine extends Line<'lever'> {
  readonly cause: 'untested' | 'unsure' | 'mount' | 'arm' | null;
  /** Nobody has said which way the blade points, and the swings do not prove the axis that is taken. */
  readonly isMountAssumed: boolean;
  readonly axes: AxisShares;
  /** The arm that the swings show; null where fewer than four are sound. */
  readonly fit: LeverArmFit | null;
  readonly spread: ArmSpread | null;
  /** Between the blade as the swings show it and as the mount that is set has it. */
  readonly offDeg: number;
  /** The lever arm that is set; null where nobody has set one. */
  readonly setM: number | null;
  /** Pull of the fastest swing that this arm leaves in the thrust. */
  readonly leftG: number;
}

/**
 * @param calibration  what is set; null where nobody has set one yet, and what is found stands on its own
 * @param mount  as it is set or stated; null where the swings alone show how the sensor sits
 */
export function checkLever(
  fit: LeverArmFit | null,
  calibration: Calibration | null,
  { peakDps }: SwingSummary,
  axes: AxisShares,
  mount: Mount | null = calibration?.mount ?? null,
): LeverLine {
  const setM = calibration?.leverArmM ?? null;
  const offDeg = fit && mount ? mountOffDeg(fit, mount) : 0;
  const leftG = fit && setM !== null ? pullG(Math.abs(setM - fit.leverArmM), peakDps) : 0;
  const cause = causeOf(fit, offDeg, setM, leftG);
  const spread = fit && armSpread(fit.stretches);
  const isStated = calibration ? isMountStated(calibration) : mount !== null;
  const isMountAssumed = !isStated && !isMountProven(fit, mount ?? IDENTITY_MOUNT);
  const state = cause || isMountAssumed ? 'caution' : 'pass';
  return { id: 'lever', state, cause, isMountAssumed, axes, fit, spread, offDeg, setM, leftG };
}

/** Whether the swings show the blade where a mount has it. */
function isMountProven(fit: LeverArmFit | null, mount: Mount): boolean {
  if (fit === null || !isArmKnown(fit) || fit.coneDeg > MOUNT_GOOD_DEG) return false;
  return mountOffDeg(fit, mount) <= MOUNT_GOOD_DEG + fit.coneDeg;
}

/**
 * How much rests on the blade lying along the sensor's x: the share of the moving time in which the swing speed would be
 * another by a quarter or more if it lay along y, and along z. A mean would not do: fast stretches turn slow and slow ones
 * fast. NaN where nothing moves.
 */
export type AxisShares = readonly [alongY: number, alongZ: number];

/** Slower than this along either axis nothing moves. */
const MOVING_DPS = 90;
const ANOTHER_BY = 0.25;

export function axisShares({ gyroXDps, gyroYDps, gyroZDps }: RateColumns): AxisShares {
  const moving = [0, 0];
  const other = [0, 0];
  for (let i = 0; i < gyroXDps.length; ++i) {
    const [x2, y2, z2] = [gyroXDps[i]! ** 2, gyroYDps[i]! ** 2, gyroZDps[i]! ** 2];
    const taken = Math.sqrt(y2 + z2);
    for (const [k, speed] of [Math.sqrt(x2 + z2), Math.sqrt(x2 + y2)].entries()) {
      const larger = Math.max(taken, speed);
      if (!(larger >= MOVING_DPS)) continue;
      ++moving[k]!;
      if (Math.abs(taken - speed) >= ANOTHER_BY * larger) ++other[k]!;
    }
  }
  return [other[0]! / moving[0]!, other[1]! / moving[1]!];
}

type RateColumns = Pick<UniformLog, 'gyroXDps' | 'gyroYDps' | 'gyroZDps'>;

function causeOf(
  fit: LeverArmFit | null,
  offDeg: number,
  setM: number | null,
  leftG: number,
): LeverLine['cause'] {
  if (!fit) return 'untested';
  if (!isArmKnown(fit)) return 'unsure';
  if (offDeg > MOUNT_GOOD_DEG + fit.coneDeg) return 'mount';
  return setM !== null && !isArmSet(fit, setM) && leftG > THRUST_LEFT_GOOD_G ? 'arm' : null;
}

/** Known well enough to be set. */
export function isArmKnown({ leverArmM, lowM, highM, explained }: LeverArmFit): boolean {
  return highM - lowM <= 2 * ARM_GOOD_SHARE * leverArmM && explained >= EXPLAINED_LEAST;
}

/** Whether the arm that is set agrees with the swings, by the interval of their mean or by their middle half. */
function isArmSet(fit: LeverArmFit, setM: number): boolean {
  return Math.abs(setM - fit.leverArmM) <= Math.max((fit.highM - fit.lowM) / 2, armReachM(fit));
}
