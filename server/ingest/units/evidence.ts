import type { MotionRole } from '../../engine/base/columnRoles.ts';
import type { GravityTest } from '../../engine/calibrate/gravityTest.ts';
import { enter, LEAD_NEEDED, type LedgerEntry } from '../ground/ledger.ts';
import { peakOf, type RestLevel, restLevel, type Vector3Columns } from '../ground/rest.ts';
import { factorTo, unitWords } from '../ground/units.ts';
import { lacksGravity, type UnitGuess } from './accelGuess.ts';
import { checkGyroUnit, contradictsRates, guessGyroUnit } from './gyroGuess.ts';
import { propagateGravity } from './propagatedGravity.ts';
import { nominalEnd, stuckEnd } from './saturation.ts';
import { type TurnScale, turnScale } from './turnScale.ts';
import {
  type GyroUnitFacts,
  leadOfUnits,
  measuredScale,
  ONE_SCALE,
  rivalsByFit,
  weighGyroUnit,
} from './weighGyroUnit.ts';

/** What the whole log's values say about units. */
export interface Evidence {
  readonly accelRest: RestLevel;
  readonly turn: TurnScale | null;
  /** `propagateGravity` of the log, as long as its columns are as they were. @param dpsPerUnit  of the rates */
  readonly propagate: (dpsPerUnit: number) => GravityTest;
  readonly gyroPeak: number;
  /** Largest size on one axis, as it stands in the file. */
  readonly accelPeak: number;
  /** Size of the value at which axes are stuck, as it stands in the file; null where none is. */
  readonly accelEnd: number | null;
  readonly gyroEnd: number | null;
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
  const propagated = new Map<number, GravityTest>();
  const propagate = (dpsPerUnit: number): GravityTest => {
    const test =
      propagated.get(dpsPerUnit) ?? propagateGravity(timeUs, accel, accelRest.norm, gyro, dpsPerUnit);
    propagated.set(dpsPerUnit, test);
    return test;
  };
  return {
    accelRest,
    turn: turnScale(timeUs, accel, gyro, accelRest, gyroRest),
    propagate,
    gyroPeak: peakOf(gyro),
    accelPeak: Math.max(...[accel.x, accel.y, accel.z].map(largest)),
    accelEnd: stuckEnd([accel.x, accel.y, accel.z]),
    gyroEnd: stuckEnd([gyro.x, gyro.y, gyro.z]),
    accelIsWhole: isWhole(accel),
    gyroIsWhole: isWhole(gyro),
  };
}

/** A unit, and what was weighed for it. */
export interface ChosenUnit extends UnitGuess {
  readonly ledger: LedgerEntry;
}

export function chooseGyroUnit(
  stated: StatedUnit,
  evidence: Evidence,
  accelUnit: string | null,
  rangeDps: number | null,
): ChosenUnit {
  const { unit, where, byUser } = stated;
  const { turn, gyroPeak: peak, gyroEnd: end, gyroIsWhole, accelRest } = evidence;
  const isWhole = gyroIsWhole || stated.codes;
  const own = unit === null ? null : { unit, where };
  const facts = { stated: own, turn, peak, isWhole, accelUnit, rangeDps, end };
  const entry = (ranked: ReturnType<typeof weighGyroUnit>, outcome: LedgerEntry['outcome']) =>
    enter('In which unit are the rates?', ranked, leadOfUnits(ranked), outcome);
  if (unit !== null) {
    const ranked = weighGyroUnit({ ...facts, propagated: null });
    if (byUser) {
      const warning = contradictsRates(unit, turn, peak);
      return { unit, reason: stated.why, warning, ledger: entry(ranked, 'stated') };
    }
    const checked = checkGyroUnit(unit, turn, peak, where);
    return { ...checked, ledger: entry(ranked, outcomeOf(checked)) };
  }
  const restG = accelRest.norm * (factorTo('accel', accelUnit ?? '') ?? 0);
  const propagate = lacksGravity(restG) ? null : evidence.propagate;
  const guess = guessGyroUnit({ turn, propagate, peak, isWhole, accelUnit, rangeDps });
  const { ranked, isMeasured } = weighMeasured(facts, guess, propagate);
  const open = whyOpen(guess, ranked, isMeasured, facts);
  const sure = isMeasured ? withDoubt(guess, rivalsByFit(ranked, accelUnit)) : guess;
  const found = open === null ? sure : { unit: null, reason: open, warning: null };
  return { ...found, ledger: entry(ranked, outcomeOf(found)) };
}

/** What custom chose between scales that gravity does not tell apart is said to be a guess. */
function withDoubt(guess: UnitGuess, rivals: readonly string[]): UnitGuess {
  if (guess.unit === null || guess.warning !== null || rivals.length === 0) return guess;
  const is = unitWords('gyro', guess.unit);
  return {
    ...guess,
    warning: `the scale of the rates is taken as ${is}, which commonly goes with that of acceleration, but that is a guess: gravity fits ${rivals.join(' and ')} nearly as well`,
  };
}

function outcomeOf({ unit, warning }: UnitGuess): LedgerEntry['outcome'] {
  if (unit === null) return 'asked';
  return warning === null ? 'taken' : 'guessed';
}

/** Weighs the units of the rates; where gravity's turning alone does not tell them apart, it is propagated by the rates too. */
function weighMeasured(
  facts: Omit<GyroUnitFacts, 'propagated'>,
  guess: UnitGuess,
  propagate: Evidence['propagate'] | null,
): { ranked: ReturnType<typeof weighGyroUnit>; isMeasured: boolean } {
  const byTurn = { ...facts, propagated: null };
  const ranked = weighGyroUnit(byTurn);
  const isTold = measuredScale(byTurn) !== null;
  const dpsPerUnit = factorTo('gyro', guess.unit ?? '');
  if ((isTold && leadOfUnits(ranked)! >= LEAD_NEEDED) || propagate === null || dpsPerUnit === null)
    return { ranked, isMeasured: isTold };
  const both = { ...facts, propagated: { test: propagate(dpsPerUnit), dpsPerUnit } };
  return { ranked: weighGyroUnit(both), isMeasured: measuredScale(both) !== null };
}

/** Why the unit of the rates is asked for although one can be guessed; null where it is not. */
function whyOpen(
  guess: UnitGuess,
  ranked: ReturnType<typeof weighGyroUnit>,
  isMeasured: boolean,
  { peak, end }: Pick<GyroUnitFacts, 'peak' | 'end'>,
): string | null {
  if (guess.unit === null) return null;
  if (!isMeasured)
    return guess.unit === 'mdeg/s'
      ? `its peak is ${Number(peak.toPrecision(4))}, too large for °/s`
      : endContradicts(guess, ranked[0]!.value, end);
  const [best, next] = ranked;
  const isSame =
    Math.abs(Math.log(factorTo('gyro', guess.unit)! / factorTo('gyro', best!.value)!)) < ONE_SCALE;
  if (isSame && leadOfUnits(ranked)! >= LEAD_NEEDED) return null;
  const rival = isSame ? next!.reading : best!.reading;
  return `gravity fits ${unitWords('gyro', guess.unit)} and ${rival} about as well, and does not tell them apart`;
}

/** What the end at which the rates are stuck says for another unit than the guessed one; null where it says nothing. */
function endContradicts(guess: UnitGuess, best: string, end: number | null): string | null {
  const rangeIn = (unit: string) =>
    end === null || unit.startsWith('lsb:') ? null : nominalEnd(end, 'gyro', factorTo('gyro', unit)!);
  const range = rangeIn(best);
  if (range === null || rangeIn(guess.unit!) !== null) return null;
  const stop = Number(end!.toPrecision(6));
  return `${guess.reason}, but the rates stop at ±${stop}, which in ${unitWords('gyro', best)} is the end of a range of ±${range} °/s`;
}

function vectors(
  columns: ReadonlyMap<MotionRole, Float64Array>,
  [x, y, z]: readonly [MotionRole, MotionRole, MotionRole],
): Vector3Columns {
  return { x: columns.get(x)!, y: columns.get(y)!, z: columns.get(z)! };
}

function largest(values: Float64Array): number {
  let most = 0;
  for (let i = 0; i < values.length; ++i) if (Math.abs(values[i]!) > most) most = Math.abs(values[i]!);
  return most;
}

function isWhole({ x, y, z }: Vector3Columns): boolean {
  for (const column of [x, y, z]) {
    for (let i = 0; i < column.length; ++i) if (!Number.isInteger(column[i]!)) return false;
  }
  return true;
}
