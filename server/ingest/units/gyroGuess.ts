import type { GravityTest } from '../../engine/calibrate/gravityTest.ts';
import { figure } from '../../engine/words/count.ts';
import { factorTo, unitWords } from '../ground/units.ts';
import type { UnitGuess } from './accelGuess.ts';
import { GOOD_FIT, type TurnScale } from './turnScale.ts';
import { CODES_PER_DPS, FASTEST_DPS, PAIRED } from './weighGyroUnit.ts';

/** What is known when the gyroscope's unit is guessed. */
interface GyroEvidence {
  readonly turn: TurnScale | null;
  /** What gravity says when it is propagated by the rates at so many deg/s to the unit; null where the log holds none. */
  readonly propagate: ((dpsPerUnit: number) => GravityTest) | null;
  /** Largest magnitude, as it stands in the file. */
  readonly peak: number;
  readonly isWhole: boolean;
  readonly accelUnit: string | null;
  /** Full scale in deg/s that the file states, or null. */
  readonly rangeDps: number | null;
}

const BY_RANGE: Readonly<Record<number, number>> = {
  125: 262.4,
  250: 131,
  500: 65.5,
  1000: 32.8,
  2000: 16.4,
  4000: 8.2,
};
const PHYSICAL = ['deg/s', 'rad/s', 'mdeg/s', 'cdeg/s', 'mrad/s', 'rpm', 'rev/s'] as const;
const MIRRORED = 'gravity turns against the rates: an axis is mirrored or two are swapped';
const CONTRADICTED =
  'gravity contradicts the rates: their unit, a sign or the order of axes is wrong, and the log does not tell which';
const UNPROVEN =
  'the unit of the rates is a guess: turned by them, gravity does not stay where it is, as strong pushes hide it or the two sensors do not go together';
/** Sensors keep their scale within this share, as Signal check has it. */
const SCALE_WITHIN = 0.05;
/** Scales nearer to each other than this (in logarithm) the turning cannot tell apart. */
const TELLS_APART = 0.2;
/** From here on the fit outweighs what the file says. */
const CLEAR_FIT = 0.85;

/** The gyroscope's unit: from gravity's turning where the log turns enough, else from sizes and company. */
export function guessGyroUnit(evidence: GyroEvidence): UnitGuess {
  const turnScale = telling(evidence.turn);
  const found = turnScale && turnScale.degPerUnit > 0 ? fromTurning(turnScale, evidence) : null;
  if (found) return found;
  const guess = fromSizes(evidence);
  if (turnScale === null || guess.unit === null)
    return guess.warning === null ? guess : byPropagation(guess, evidence);
  const ratio = ratioTo(guess.unit, turnScale);
  if (ratio < 0) return { ...guess, warning: MIRRORED };
  return {
    ...guess,
    warning: `taken as ${words(guess.unit)}, but ${turnsTimes(ratio)}: check unit and axes`,
  };
}

function fromSizes(evidence: GyroEvidence): UnitGuess {
  const warning = 'the unit of the rates is a guess: nothing in the log tests it against gravity';
  const looksLikeCodes = evidence.isWhole && evidence.accelUnit?.startsWith('lsb:') === true;
  if (looksLikeCodes) return fromCompany(evidence);
  const isSi = evidence.accelUnit === 'm/s2';
  const peak = Number(evidence.peak.toPrecision(4));
  // No such sensor reads beyond 5000 deg/s.
  if (evidence.peak > 5000) {
    if (evidence.isWhole && evidence.accelUnit !== 'mg')
      return { unit: null, reason: `its peak is ${peak}`, warning };
    return { unit: 'mdeg/s', reason: `its peak, ${peak}, is too large for °/s`, warning };
  }
  // 70 rad/s is 4000 deg/s, beyond what such sensors measure.
  if (evidence.peak > 70)
    return { unit: 'deg/s', reason: `its peak, ${peak}, is too large for rad/s`, warning: null };
  const unit = isSi ? 'rad/s' : 'deg/s';
  return {
    unit,
    reason: `goes with acceleration in ${evidence.accelUnit === null ? 'an unknown unit' : unitWords('accel', evidence.accelUnit)}; peak ${peak}`,
    warning,
  };
}

/** A guess that sizes or company made, tested as Signal check will test it. */
function byPropagation(guess: UnitGuess, evidence: GyroEvidence): UnitGuess {
  const dpsPerUnit = guess.unit && factorTo('gyro', guess.unit);
  if (!dpsPerUnit || !evidence.propagate) return guess;
  const { verdict, slope, low, high, fit, pairs } = evidence.propagate(dpsPerUnit);
  if (verdict === 'tooLittle' || verdict === 'along') return guess;
  if (verdict === 'axes') return { ...guess, warning: MIRRORED };
  if (verdict === 'disagree') return { ...guess, warning: CONTRADICTED };
  if (slope === null || low === null || high === null) return { ...guess, warning: UNPROVEN };
  const found = fromTurning({ degPerUnit: slope * dpsPerUnit, agreement: fit, windows: pairs }, evidence);
  if (found?.unit == null) return { ...guess, warning: UNPROVEN };
  const part = dpsPerUnit / factorTo('gyro', found.unit)!;
  const [own, from, to] = [slope, low, high].map((one) => one * part) as [number, number, number];
  const isAlikeEnough = from <= 1 + SCALE_WITHIN && to >= 1 - SCALE_WITHIN;
  return {
    unit: found.unit,
    reason: `turned by the rates, taken as ${words(found.unit)}, gravity stays where it is (slope ${figure(own)}, at least 95 %: ${figure(from)} to ${figure(to)})`,
    warning: isAlikeEnough
      ? found.warning
      : `taken as ${words(found.unit)}, but ${turnsTimes(own)}: check unit and axes`,
  };
}

function fromTurning(turn: TurnScale, { isWhole, accelUnit, peak }: GyroEvidence): UnitGuess | null {
  const codes = isWhole ? ['lsb:10', ...CODES_PER_DPS.map((own) => `lsb:${own}`)] : [];
  const off = (unit: string) => Math.abs(Math.log(turn.degPerUnit / factorTo('gyro', unit)!));
  const nearest = (units: readonly string[]) => units.reduce((a, b) => (off(b) < off(a) ? b : a));
  const paired = PAIRED[accelUnit ?? ''];
  // Codes come with codes: whole numbers beside g or mg are rather hundredths of a degree.
  const isCodes = isWhole && accelUnit?.startsWith('lsb:') === true;
  const isMixed = isWhole && !isCodes && off(nearest(PHYSICAL)) < 0.12;
  const units = isMixed ? PHYSICAL : [...(isCodes ? PHYSICAL.slice(0, 3) : PHYSICAL), ...codes];
  const isPair = isWhole && paired !== undefined && off(`lsb:${paired}`) < 0.08;
  const unit = isPair ? `lsb:${paired}` : nearest(units);
  const fits = `gravity turns ${turn.degPerUnit.toPrecision(3)} °/s to the unit (${Math.round(100 * turn.agreement)} % of the turning agrees)`;
  const isSure = isPair || turn.agreement >= CLEAR_FIT;
  const rivals = isSure ? [] : units.filter((own) => own !== unit && off(own) < TELLS_APART);
  if (off(unit) < 0.2 && peak * factorTo('gyro', unit)! <= FASTEST_DPS)
    return {
      unit,
      reason: `${fits}, as in ${words(unit)}`,
      warning: rivals.length > 0 ? unsure(unit, rivals) : null,
    };
  if (turn.agreement < CLEAR_FIT) return null;
  const own = `lsb:${Number((1 / turn.degPerUnit).toPrecision(4))}`;
  return {
    unit: own,
    reason: fits,
    warning: `no common unit or part fits the rates: their scale, ${words(own)}, comes from gravity's turning`,
  };
}

function unsure(unit: string, rivals: readonly string[]): string {
  return `the scale of the rates is taken as ${words(unit)}; gravity's turning fits ${rivals.map(words).join(' and ')} nearly as well`;
}

function fromCompany({ accelUnit, rangeDps }: GyroEvidence): UnitGuess {
  const stated = rangeDps === null ? undefined : BY_RANGE[rangeDps];
  if (stated)
    return {
      unit: `lsb:${stated}`,
      reason: `raw codes at the stated range of ${rangeDps} °/s`,
      warning: null,
    };
  const paired = PAIRED[accelUnit ?? ''];
  if (!paired) return { unit: null, reason: 'raw codes of unknown scale', warning: null };
  return {
    unit: `lsb:${paired}`,
    reason: `raw codes; ${paired} per °/s is the range that commonly goes with ${accelUnit?.slice(4)} codes per g`,
    warning: `the scale of the rates (${paired} codes per °/s) is a guess: nothing in the log tests it against gravity`,
  };
}

/**
 * Checks a stated unit against gravity's turning and against what sensors can measure; a plain contradiction is
 * followed and said.
 * @param peak  largest magnitude, as it stands in the file
 */
export function checkGyroUnit(
  stated: string,
  turn: TurnScale | null,
  peak: number,
  where: string,
): UnitGuess {
  const agrees = isAlike(ratioTo(stated, telling(turn))) ? "; gravity's turning agrees" : '';
  const keeps = { unit: stated, reason: `${where} says ${words(stated)}${agrees}`, warning: null };
  const doubt = doubtOf(stated, turn, peak, where);
  if (doubt === null) return keeps;
  const { said, fits } = doubt;
  if (fits === null && doubt.isImpossible) return { unit: null, reason: said, warning: null };
  if (fits === null) return { ...keeps, warning: said };
  return { unit: fits.unit, reason: fits.why, warning: `${said}: taken as ${words(fits.unit)}` };
}

/** What the rates themselves say against a unit that the user stated: it stands, with this caution. null for nothing. */
export function contradictsRates(stated: string, turn: TurnScale | null, peak: number): string | null {
  const doubt = doubtOf(stated, turn, peak, 'your setting');
  if (doubt === null) return null;
  return doubt.fits === null
    ? doubt.said
    : `${doubt.said}, which fits ${words(doubt.fits.unit)}: check the unit`;
}

/** What speaks against a stated unit: a whole caution, or the beginning of one where another unit fits. */
interface Doubt {
  readonly said: string;
  readonly fits: { readonly unit: string; readonly why: string } | null;
  /** No sensor reads so much: the stated unit cannot stand. */
  readonly isImpossible: boolean;
}

function doubtOf(stated: string, turn: TurnScale | null, peak: number, where: string): Doubt | null {
  const turnScale = telling(turn);
  const ratio = ratioTo(stated, turnScale);
  if (isAlike(ratio)) return null;
  if (ratio < 0) return { said: MIRRORED, fits: null, isImpossible: false };
  const peakDps = Math.round(peak * factorTo('gyro', stated)!);
  const isTooFast = peakDps > FASTEST_DPS;
  const isFarOff = ratio > 2.5 || ratio < 0.4;
  const isClear = turnScale !== null && turnScale.agreement >= CLEAR_FIT;
  if (!isTooFast && !isFarOff && !isClear) return null;
  const against = turnScale ? turnsTimes(ratio) : `the rates would reach ${peakDps} °/s`;
  const said = `${where} says ${words(stated)}, but ${against}`;
  const unit = turnScale ? unitNear(turnScale.degPerUnit) : unitBelow(peak);
  if (unit === null || unit === stated)
    return { said: isTooFast ? said : `${said}: check unit and axes`, fits: null, isImpossible: isTooFast };
  const what = turnScale ? "gravity's turning" : `its peak, ${peak.toPrecision(4)},`;
  return { said, fits: { unit, why: `${what} fits ${words(unit)}` }, isImpossible: isTooFast };
}

/** Gravity's turning where it agrees well enough to tell something, else null. */
function telling(turn: TurnScale | null): TurnScale | null {
  return turn !== null && turn.agreement >= GOOD_FIT ? turn : null;
}

/** How many times as much as the rates in this unit gravity turns; NaN where the turning tells nothing. */
function ratioTo(unit: string, turnScale: TurnScale | null): number {
  return turnScale ? turnScale.degPerUnit / factorTo('gyro', unit)! : Number.NaN;
}

function isAlike(ratio: number): boolean {
  return ratio > 0.7 && ratio < 1.4;
}

function turnsTimes(ratio: number): string {
  return `gravity turns ${ratio.toPrecision(3)} times as much`;
}

function unitNear(degPerUnit: number): string | null {
  return PHYSICAL.find((unit) => Math.abs(Math.log(degPerUnit / factorTo('gyro', unit)!)) < 0.25) ?? null;
}

/** The common unit in which a sensor can have read this peak: a prefix that hardly anybody uses is asked about. */
function unitBelow(peak: number): string | null {
  return peak <= FASTEST_DPS ? 'deg/s' : null;
}

function words(unit: string): string {
  return unitWords('gyro', unit);
}
