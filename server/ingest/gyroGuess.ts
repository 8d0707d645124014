import type { UnitGuess } from './accelGuess.ts';
import type { TurnScale } from './turnScale.ts';
import { factorTo } from './units.ts';

/** What is known when the gyroscope's unit is guessed. */
export interface GyroEvidence {
  readonly turn: TurnScale | null;
  /** Largest magnitude, as it stands in the file. */
  readonly peak: number;
  readonly isWhole: boolean;
  readonly accelUnit: string | null;
  /** Full scale in deg/s that the file states, or null. */
  readonly rangeDps: number | null;
}

/** Codes per deg/s of parts in common use (datasheets), for ranges of 125 to 4000 deg/s. */
const CODES_PER_DPS = [
  262.4, 131, 65.5, 32.8, 16.4, 8.2, 228.57142857, 114.28571429, 57.14285714, 28.57142857, 14.28571429,
] as const;
/** Widest range of the one sensor with the widest of the other: how such parts are commonly set. */
const PAIRED: Readonly<Record<string, number>> = {
  'lsb:16384': 131,
  'lsb:8192': 65.5,
  'lsb:4096': 32.8,
  'lsb:2048': 16.4,
  'lsb:256': 14.375,
};
const BY_RANGE: Readonly<Record<number, number>> = {
  125: 262.4,
  250: 131,
  500: 65.5,
  1000: 32.8,
  2000: 16.4,
  4000: 8.2,
};
const GOOD_FIT = 0.65;
/** From here on the fit outweighs what the file says. */
const CLEAR_FIT = 0.85;

/** The gyroscope's unit: from gravity's turning where the log turns enough, else from sizes and company. */
export function guessGyroUnit(evidence: GyroEvidence): UnitGuess {
  const { turn } = evidence;
  if (turn && turn.agreement >= GOOD_FIT && turn.degPerUnit > 0) {
    const found = fromTurning(turn, evidence);
    if (found) return found;
  }
  const warning = 'the unit of the rates is a guess: nothing in the log tests it against gravity';
  const looksLikeCodes = evidence.isWhole && evidence.accelUnit?.startsWith('lsb:') === true;
  if (looksLikeCodes) return fromCompany(evidence);
  const isSi = evidence.accelUnit === 'm/s2';
  const peak = Number(evidence.peak.toPrecision(4));
  // No such sensor reads beyond 5000 deg/s.
  if (evidence.peak > 5000) {
    if (evidence.isWhole && evidence.accelUnit !== 'mg')
      return { unit: null, reason: `its peak is ${peak}`, warning };
    return { unit: 'mdeg/s', reason: `its peak, ${peak}, is too large for deg/s`, warning };
  }
  // 70 rad/s is 4000 deg/s, beyond what such sensors measure.
  if (evidence.peak > 70)
    return { unit: 'deg/s', reason: `its peak, ${peak}, is too large for rad/s`, warning: null };
  const unit = isSi ? 'rad/s' : 'deg/s';
  return {
    unit,
    reason: `goes with acceleration in ${evidence.accelUnit ?? 'an unknown unit'}; peak ${peak}`,
    warning,
  };
}

function fromTurning(turn: TurnScale, { isWhole, accelUnit }: GyroEvidence): UnitGuess | null {
  const units = [
    'deg/s',
    'rad/s',
    'mdeg/s',
    ...(isWhole ? CODES_PER_DPS.map((codes) => `lsb:${codes}`) : []),
  ];
  const off = (unit: string) => Math.abs(Math.log(turn.degPerUnit / factorTo('gyro', unit)!));
  const paired = PAIRED[accelUnit ?? ''];
  const unit =
    isWhole && paired && off(`lsb:${paired}`) < 0.08
      ? `lsb:${paired}`
      : units.reduce((a, b) => (off(b) < off(a) ? b : a));
  const fits = `gravity turns ${turn.degPerUnit.toPrecision(3)} deg/s to the unit (${Math.round(100 * turn.agreement)} % of the turning agrees)`;
  if (off(unit) < 0.2) return { unit, reason: `${fits}, as in ${unit}`, warning: null };
  if (turn.agreement < CLEAR_FIT) return null;
  const own = `lsb:${Number((1 / turn.degPerUnit).toPrecision(4))}`;
  return {
    unit: own,
    reason: fits,
    warning: `no common unit or part fits the rates: their scale, ${own}, comes from gravity's turning`,
  };
}

function fromCompany({ accelUnit, rangeDps }: GyroEvidence): UnitGuess {
  const stated = rangeDps === null ? undefined : BY_RANGE[rangeDps];
  if (stated)
    return {
      unit: `lsb:${stated}`,
      reason: `raw codes at the stated range of ${rangeDps} deg/s`,
      warning: null,
    };
  const paired = PAIRED[accelUnit ?? ''];
  if (!paired) return { unit: null, reason: 'raw codes of unknown scale', warning: null };
  return {
    unit: `lsb:${paired}`,
    reason: `raw codes; ${paired} per deg/s is the range that commonly goes with ${accelUnit?.slice(4)} codes per g`,
    warning: `the scale of the rates (${paired} codes per deg/s) is a guess: nothing in the log tests it against gravity`,
  };
}

/** Checks a stated unit against gravity's turning; a plain contradiction is followed and said. */
export function checkGyroUnit(stated: string, turn: TurnScale | null, where: string): UnitGuess {
  const keeps = { unit: stated, reason: `${where} says ${stated}`, warning: null };
  if (!turn || turn.agreement < GOOD_FIT) return keeps;
  const ratio = turn.degPerUnit / factorTo('gyro', stated)!;
  if (ratio > 0.7 && ratio < 1.4) return { ...keeps, reason: `${keeps.reason}; gravity's turning agrees` };
  if (turn.agreement < CLEAR_FIT) return keeps;
  if (ratio < 0) {
    return { ...keeps, warning: 'gravity turns against the rates: an axis is mirrored or two are swapped' };
  }
  const other = stated === 'deg/s' ? 'rad/s' : stated === 'rad/s' ? 'deg/s' : null;
  const otherRatio = other ? turn.degPerUnit / factorTo('gyro', other)! : 0;
  const said = `${where} says ${stated}, but gravity turns ${ratio.toPrecision(3)} times as much`;
  if (other && otherRatio > 0.8 && otherRatio < 1.25) {
    return { unit: other, reason: `gravity's turning fits ${other}`, warning: `${said}: taken as ${other}` };
  }
  return { ...keeps, warning: `${said}: check unit and axes` };
}
