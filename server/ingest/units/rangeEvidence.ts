import { type Evidence, evidence } from '../ground/ledger.ts';
import { factorTo } from '../ground/units.ts';
import { CODE_ENDS, nominalEnd } from './saturation.ts';

/** How ranges of each sensor are written. */
const RANGE_UNIT = { accel: 'g', gyro: '°/s' } as const;
/** Words of raw codes, in bits, the commonest first. */
const WORD_BITS = [16, 12, 14, 10, 8, 20] as const;
/** Codes per g of a part differ this much from half the codes of its words to the range: 0.488 mg a code at 16 g. */
const RANGE_WITHIN = 0.01;
/** Calibrated figures may go this far beyond the range that a sensor is named for. */
const BEYOND_RANGE = 1.1;
const STATED_WEIGHT = 3;

/**
 * What the end at which values are stuck says of a unit: in the right one it is a range that sensors have.
 * @param end  its size as it stands in the file; null where no values are stuck
 */
export function endEvidence(kind: 'accel' | 'gyro', unit: string, end: number | null): Evidence[] {
  if (end === null) return [];
  const isCodes = unit.startsWith('lsb:');
  const stop = `its values stop at ±${Number(end.toPrecision(6))}`;
  const isLastCode = CODE_ENDS.some((code) => end === code || end === code + 1);
  if (isLastCode && isCodes) return [evidence(1, `${stop}, the last code of a word`)];
  const value = end * factorTo(kind, unit)!;
  const range = nominalEnd(end, kind, factorTo(kind, unit)!);
  if (range !== null && !isCodes)
    return [evidence(3, `${stop}, the end of a range of ±${range} ${RANGE_UNIT[kind]}`)];
  const would = `${stop}, which would be ${value.toPrecision(3)} ${RANGE_UNIT[kind]}`;
  if (isCodes) return [evidence(-1, `${would}: no last code of a word`)];
  return [evidence(isLastCode ? -3 : -1, `${would}: no usual range`)];
}

/**
 * Codes per g where words of 16 bits span the range that the file states. Parts differ: some read 1366 at ±16 g.
 * @param rangeG  full scale
 */
export function codesPerG(rangeG: number): number {
  return Number((2 ** 15 / rangeG).toPrecision(6));
}

/**
 * What a stated full scale of the accelerometer says of a unit.
 * @param peak  largest magnitude on one axis, as it stands in the file
 */
export function statedRangeEvidence(unit: string, rangeG: number | null, peak: number): Evidence[] {
  if (rangeG === null) return [];
  const said = `the file states a range of ±${rangeG} g`;
  const perUnit = factorTo('accel', unit)!;
  const peakG = peak * perUnit;
  if (peakG > rangeG * BEYOND_RANGE)
    return [evidence(-STATED_WEIGHT - 1, `${said}, but its peak would be ${peakG.toPrecision(3)} g`)];
  if (!unit.startsWith('lsb:')) return [];
  const bits = WORD_BITS.find(
    (bitsTried) => Math.abs(rangeG / perUnit / 2 ** (bitsTried - 1) - 1) < RANGE_WITHIN,
  );
  if (bits === undefined) return [evidence(-2, `${said}: other codes per g in words of any usual length`)];
  return [evidence(bits === 16 ? STATED_WEIGHT : 1, `${said}: so many codes per g in words of ${bits} bits`)];
}
