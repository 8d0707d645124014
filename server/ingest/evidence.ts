import type { GravityTest } from '../engine/calibrate/gravityTest.ts';
import {
  checkAccelUnit,
  contradictsRest,
  guessAccelUnit,
  lacksGravity,
  type UnitGuess,
} from './accelGuess.ts';
import { carryGravity } from './carriedGravity.ts';
import { checkGyroUnit, contradictsRates, guessGyroUnit } from './gyroGuess.ts';
import { peakOf, type RestLevel, restLevel, type Vector3Columns } from './rest.ts';
import { type TurnScale, turnScale } from './turnScale.ts';
import type { MotionRole } from './types.ts';
import { factorTo } from './units.ts';

/** What the whole log's values say about units. */
export interface Evidence {
  readonly accelRest: RestLevel;
  readonly turn: TurnScale | null;
  /** `carryGravity` of the log, as long as its columns are as they were. @param dpsPerUnit  of the rates */
  readonly carry: (dpsPerUnit: number) => GravityTest;
  readonly gyroPeak: number;
  readonly accelIsWhole: boolean;
  readonly gyroIsWhole: boolean;
}

/** What the header or the notes state of a quantity's unit. */
export interface StatedUnit {
  readonly unit: string | null;
  readonly where: string;
  readonly byUser: boolean;
  readonly codes: boolean;
  /** For what the user stated: now, or for a log of this shape before. */
  readonly why: string;
}

export function gatherEvidence(
  timeUs: Float64Array,
  columns: ReadonlyMap<MotionRole, Float64Array>,
): Evidence {
  const accel = vectors(columns, ['accelX', 'accelY', 'accelZ']);
  const gyro = vectors(columns, ['gyroX', 'gyroY', 'gyroZ']);
  const accelRest = restLevel(accel);
  // The gyroscope's bias is what it reads where the accelerometer is calm.
  const gyroRest = restLevel(gyro, accel);
  const carried = new Map<number, GravityTest>();
  const carry = (dpsPerUnit: number): GravityTest => {
    const test = carried.get(dpsPerUnit) ?? carryGravity(timeUs, accel, accelRest.norm, gyro, dpsPerUnit);
    carried.set(dpsPerUnit, test);
    return test;
  };
  return {
    accelRest,
    turn: turnScale(timeUs, accel, gyro, accelRest, gyroRest),
    carry,
    gyroPeak: peakOf(gyro),
    accelIsWhole: isWhole(accel),
    gyroIsWhole: isWhole(gyro),
  };
}

export function chooseAccelUnit(stated: StatedUnit, evidence: Evidence): UnitGuess {
  const { unit, where, byUser } = stated;
  const { accelRest, accelIsWhole } = evidence;
  if (unit !== null && byUser)
    return { unit, reason: stated.why, warning: contradictsRest(unit, accelRest, accelIsWhole) };
  if (unit !== null) return checkAccelUnit(unit, accelRest, accelIsWhole, where);
  return guessAccelUnit(accelRest, accelIsWhole || stated.codes);
}

export function chooseGyroUnit(
  stated: StatedUnit,
  evidence: Evidence,
  accelUnit: string | null,
  rangeDps: number | null,
): UnitGuess {
  const { unit, where, byUser } = stated;
  const { turn, gyroPeak: peak, gyroIsWhole, accelRest } = evidence;
  if (unit !== null && byUser)
    return { unit, reason: stated.why, warning: contradictsRates(unit, turn, peak) };
  if (unit !== null) return checkGyroUnit(unit, turn, peak, where);
  const restG = accelRest.norm * (factorTo('accel', accelUnit ?? '') ?? 0);
  const carry = lacksGravity(restG) ? null : evidence.carry;
  return guessGyroUnit({ turn, carry, peak, isWhole: gyroIsWhole || stated.codes, accelUnit, rangeDps });
}

function vectors(
  columns: ReadonlyMap<MotionRole, Float64Array>,
  [x, y, z]: readonly [MotionRole, MotionRole, MotionRole],
): Vector3Columns {
  return { x: columns.get(x)!, y: columns.get(y)!, z: columns.get(z)! };
}

function isWhole({ x, y, z }: Vector3Columns): boolean {
  for (const column of [x, y, z]) {
    for (let i = 0; i < column.length; ++i) if (!Number.isInteger(column[i]!)) return false;
  }
  return true;
}
