import type { GravityTest } from '../../engine/calibrate/gravityTest.ts';
import { figure } from '../../engine/words/count.ts';
import { type Evidence, evidence, LEAD_NEEDED, leadOf, rank, sumOf, type Weighed } from '../ground/ledger.ts';
import { factorTo, unitWords } from '../ground/units.ts';
import { endEvidence } from './rangeEvidence.ts';
import { GOOD_FIT, type TurnScale } from './turnScale.ts';

/** What speaks for and against a unit of the rates. */
export interface GyroUnitFacts {
  /** Stated by name, row of units or a note, with where; null where nothing states it. */
  readonly stated: { readonly unit: string; readonly where: string } | null;
  readonly turn: TurnScale | null;
  /**
   * Result of the gravity test, and the deg/s to the unit at which the rates propagated gravity; null where that was
   * not tried.
   */
  readonly propagated: { readonly test: GravityTest; readonly dpsPerUnit: number } | null;
  /** Largest magnitude, as it stands in the file. */
  readonly peak: number;
  readonly isWhole: boolean;
  readonly accelUnit: string | null;
  /** Full scale in deg/s that the file states, or null. */
  readonly rangeDps: number | null;
  /** Size of the value at which axes are stuck, as it stands in the file; null where none is. */
  readonly end: number | null;
}

/** Codes per deg/s of parts in common use (datasheets), for ranges of 125 to 4000 deg/s. */
export const CODES_PER_DPS = [
  262.4, 131, 65.5, 32.8, 16.4, 8.2, 228.57142857, 114.28571429, 57.14285714, 28.57142857, 14.28571429,
] as const;
/** Widest range of the one sensor with the widest of the other: how such parts are commonly set. */
export const PAIRED: Readonly<Record<string, number>> = {
  'lsb:16384': 131,
  'lsb:8192': 65.5,
  'lsb:4096': 32.8,
  'lsb:2048': 16.4,
  'lsb:256': 14.375,
};
/** Three axes of 4000 deg/s at once: no such sensor reads more. */
export const FASTEST_DPS = 7000;
/** Units of rates, and how usual they are in logs of motion (common practice). */
const USUAL: Readonly<Record<string, number>> = {
  'deg/s': 1,
  'rad/s': 0,
  'mdeg/s': -2,
  'cdeg/s': -3,
  'mrad/s': -3,
  rpm: -3,
  'rev/s': -3,
};
const CODES_IN_16_BITS = 32_768;
/** A sensor's own tolerance and the motion of a hand leave this much open, in logarithm, be the fit ever so good. */
const FIT_SIGMA = 0.06;
/** The share of the turning that does not agree adds this many times itself. */
const SHARE_SIGMA = 0.1;
/** Width of a 95 % interval, in standard deviations. */
const INTERVAL_SIGMAS = 3.92;
/** The gravity test fits the arm and gives an interval; what remains is a part's own tolerance. */
const PROPAGATED_SIGMA = 0.03;
const FIT_AT_MOST = 3;
const FIT_AT_LEAST = -6;
/** Custom may settle what a fit leaves open, but then it is said. */
const PAIRED_WEIGHT = 2;
/** Scales nearer to each other than this (in logarithm) are one: 131 and 131.072 codes. */
export const ONE_SCALE = 0.02;

/** The units that are possible at all, the likeliest first, with what speaks for and against each. */
export function weighGyroUnit(facts: GyroUnitFacts): Weighed<string>[] {
  const codes = facts.isWhole ? CODES_PER_DPS.map((codesPerDps) => `lsb:${codesPerDps}`) : [];
  const units = new Set([...Object.keys(USUAL), ...codes, ...(facts.stated ? [facts.stated.unit] : [])]);
  const measured = measuredScale(facts);
  return rank(
    [...units].map((unit) => ({
      value: unit,
      reading: unitWords('gyro', unit),
      evidence: [
        ...statedEvidence(unit, facts),
        ...(measured === null ? [] : [fitEvidence(unit, measured)]),
        ...sizeEvidence(unit, facts),
        ...companyEvidence(unit, facts),
        ...endEvidence('gyro', unit, facts.end),
      ],
    })),
  );
}

/** How far the likeliest unit is ahead of the next one that is another scale. */
export function leadOfUnits(ranked: readonly Weighed<string>[]): number | null {
  return leadOf(
    ranked,
    (a, b) => Math.abs(Math.log(factorTo('gyro', a)! / factorTo('gyro', b)!)) < ONE_SCALE,
  );
}

/** Units that only custom tells from the likeliest: without that they would be within the lead that is needed. */
export function rivalsByFit(ranked: readonly Weighed<string>[], accelUnit: string | null): string[] {
  const paired = PAIRED[accelUnit ?? ''];
  const [best, ...others] = ranked;
  if (!best || paired === undefined || best.value !== `lsb:${paired}`) return [];
  const least = sumOf(best.evidence) - PAIRED_WEIGHT - LEAD_NEEDED;
  return others.filter((rival) => sumOf(rival.evidence) > least).map(({ reading }) => reading);
}

/** deg/s to the unit by gravity, its standard deviation in logarithm, and what measured it. */
interface Measured {
  readonly degPerUnit: number;
  readonly sigma: number;
  readonly how: string;
}

/** The sharper of the two tests by gravity; null where neither tells. */
export function measuredScale({ turn, propagated }: GyroUnitFacts): Measured | null {
  const found: Measured[] = [];
  if (turn && turn.degPerUnit > 0 && turn.agreement >= GOOD_FIT)
    found.push({
      degPerUnit: turn.degPerUnit,
      sigma: FIT_SIGMA + SHARE_SIGMA * (1 - turn.agreement),
      how: `gravity turns ${turn.degPerUnit.toPrecision(3)} °/s to the unit`,
    });
  const test = propagated?.test;
  if (propagated && test && test.slope !== null && test.low !== null && test.high !== null && test.low > 0) {
    const sigma = Math.hypot(PROPAGATED_SIGMA, Math.log(test.high / test.low) / INTERVAL_SIGMAS);
    const degPerUnit = test.slope * propagated.dpsPerUnit;
    found.push({
      degPerUnit,
      sigma,
      how: `carried by the rates, gravity stays at ${figure(degPerUnit)} °/s to the unit`,
    });
  }
  return found.sort((a, b) => a.sigma - b.sigma)[0] ?? null;
}

function statedEvidence(unit: string, { stated, rangeDps }: GyroUnitFacts): Evidence[] {
  const found: Evidence[] = [];
  if (stated?.unit === unit) found.push(evidence(6, `${stated.where} says so`));
  if (rangeDps === null || !unit.startsWith('lsb:')) return found;
  const codes = 1 / factorTo('gyro', unit)!;
  // Some parts' codes reach 1.147 times the range that they are named for.
  const isOfRange = [1, 1.14688].some(
    (wide) => Math.abs((codes * rangeDps * wide) / CODES_IN_16_BITS - 1) < 0.01,
  );
  found.push(evidence(isOfRange ? 4 : -4, `the stated range is ${rangeDps} °/s`));
  return found;
}

function fitEvidence(unit: string, { degPerUnit, sigma, how }: Measured): Evidence {
  const off = Math.log(degPerUnit / factorTo('gyro', unit)!);
  const times = (degPerUnit / factorTo('gyro', unit)!).toPrecision(3);
  const weight = Math.max(FIT_AT_LEAST, FIT_AT_MOST - 0.5 * (off / sigma) ** 2);
  return evidence(weight, `${how}: ${times} times what this unit says`);
}

function sizeEvidence(unit: string, { peak }: GyroUnitFacts): Evidence[] {
  const peakDps = peak * factorTo('gyro', unit)!;
  if (peakDps > FASTEST_DPS)
    return [evidence(-8, `its peak would be ${Math.round(peakDps)} °/s, beyond any such sensor`)];
  return peakDps < 20
    ? [evidence(-1.5, `its peak would be ${peakDps.toPrecision(2)} °/s: hardly a motion`)]
    : [];
}

function companyEvidence(unit: string, { isWhole, accelUnit }: GyroUnitFacts): Evidence[] {
  const isCodes = unit.startsWith('lsb:');
  const areForcesCodes = accelUnit?.startsWith('lsb:') === true;
  const found: Evidence[] = [evidence(USUAL[unit] ?? 0, 'how usual such logs are')];
  if (isWhole && areForcesCodes)
    found.push(evidence(isCodes ? 2 : -2, 'whole numbers beside raw codes of acceleration'));
  else if (isCodes) found.push(evidence(-3, 'acceleration is not in raw codes'));
  if (isCodes && PAIRED[accelUnit ?? ''] === 1 / factorTo('gyro', unit)!)
    found.push(evidence(PAIRED_WEIGHT, `this range commonly goes with ${accelUnit!.slice(4)} codes per g`));
  if (unit === 'rad/s' && accelUnit === 'm/s2') found.push(evidence(2, 'goes with m/s²'));
  return found;
}
