import { enter, LEAD_NEEDED, type LedgerEntry, sumOf, type Weighed } from '../ground/ledger.ts';
import { factorTo, unitWords } from '../ground/units.ts';
import { checkAccelUnit, contradictsRest, guessAccelUnit, type UnitGuess } from './accelGuess.ts';
import type { ChosenUnit, Evidence, StatedUnit } from './evidence.ts';
import { codesPerG } from './rangeEvidence.ts';
import { nominalEnd } from './saturation.ts';
import { type AccelReading, isOneScale, leadOfReadings, weighAccelUnit } from './weighAccelUnit.ts';

const QUESTION = 'In which unit is the acceleration, and does it hold gravity?';

/**
 * The accelerometer's unit: what the rest says, as long as all that was weighed says so too; else it is asked for.
 * @param rangeG  full scale that a file states, or null
 */
export function chooseAccelUnit(
  stated: StatedUnit,
  evidence: Evidence,
  rangeG: number | null = null,
): ChosenUnit {
  const { unit, where, byUser } = stated;
  const { accelRest, accelIsWhole, turn } = evidence;
  const isWhole = accelIsWhole || stated.codes;
  const guess =
    unit === null || byUser
      ? guessAccelUnit(accelRest, isWhole)
      : checkAccelUnit(unit, accelRest, accelIsWhole, where);
  const ranked = weighAccelUnit({
    stated: unit === null ? null : { unit, where },
    guessed: guess.unit,
    rest: accelRest,
    isWhole,
    turning: turn && turn.degPerUnit > 0 ? turn.agreement : null,
    end: evidence.accelEnd,
    peak: evidence.accelPeak,
    rangeG,
  });
  const lead = leadOfReadings(ranked);
  const entry = (outcome: LedgerEntry['outcome']) => enter(QUESTION, ranked, lead, outcome);
  if (unit !== null && byUser) {
    const warning = contradictsRest(unit, accelRest, accelIsWhole);
    return { unit, reason: stated.why, warning, ledger: entry('stated') };
  }
  const found = settle(guess, ranked, lead ?? LEAD_NEEDED, evidence, rangeG);
  if (found.unit === null) return { ...found, ledger: entry('asked') };
  return { ...found, ledger: entry(found.warning === null ? 'taken' : 'guessed') };
}

/** The guess where it has the largest sum; with a caution where that is not ahead enough. */
function settle(
  guess: UnitGuess,
  ranked: readonly Weighed<AccelReading>[],
  lead: number,
  evidence: Evidence,
  rangeG: number | null,
): UnitGuess {
  const best = ranked[0]!;
  const isSame = guess.unit !== null && isOneScale(guess.unit, best.value.unit);
  if (!isSame) {
    const byEnd = lead >= LEAD_NEEDED && sumOf(best.evidence) > 0 ? fromEnd(best.value.unit, evidence) : null;
    return byEnd ?? { unit: null, reason: whyAsked(guess, best, rangeG, evidence), warning: null };
  }
  const reason = [guess.reason, ...rangeNotes(guess.unit!, evidence, rangeG)].join('; ');
  if (guess.warning !== null || lead >= LEAD_NEEDED) return { ...guess, reason };
  const rival = ranked.find(({ value }) => !isOneScale(value.unit, best.value.unit))!;
  return {
    ...guess,
    reason,
    warning: `the unit of acceleration is taken as ${words(guess.unit!)}, but that is a guess: ${rival.reading} fits nearly as well`,
  };
}

/** The unit in which values are stuck at the end of a range that sensors have; null where they are not. */
function fromEnd(unit: string, { accelEnd, accelRest }: Evidence): UnitGuess | null {
  const said = saysEnd(unit, accelEnd);
  if (said === null) return null;
  const restG = (accelRest.norm * factorTo('accel', unit)!).toPrecision(3);
  return {
    unit,
    reason: said,
    warning: `acceleration is taken as ${words(unit)} by the end of its range, though where it moves least it reads ${restG} g instead of 1: check the unit`,
  };
}

function saysEnd(unit: string, end: number | null): string | null {
  const range =
    end === null || unit.startsWith('lsb:') ? null : nominalEnd(end, 'accel', factorTo('accel', unit)!);
  return range === null
    ? null
    : `its values stop at ±${Number(end!.toPrecision(6))}, the end of a range of ±${range} g`;
}

/** What range and ends add to the reason for a unit. */
function rangeNotes(unit: string, { accelEnd }: Evidence, rangeG: number | null): string[] {
  const end = saysEnd(unit, accelEnd);
  const isOfRange = rangeG !== null && unit === `lsb:${codesPerG(rangeG)}`;
  return [
    ...(end === null ? [] : [end]),
    ...(isOfRange ? [`words of 16 bits read so many at the stated range of ±${rangeG} g`] : []),
  ];
}

function whyAsked(
  guess: UnitGuess,
  best: Weighed<AccelReading>,
  rangeG: number | null,
  { accelIsWhole }: Evidence,
): string {
  const range =
    rangeG !== null && accelIsWhole
      ? `; at the stated range of ±${rangeG} g words of 16 bits read ${codesPerG(rangeG)} codes per g, but parts differ`
      : '';
  return guess.unit === null
    ? `${guess.reason}${range}`
    : `${guess.reason}, but all in all more speaks for ${best.reading}${range}`;
}

function words(unit: string): string {
  return unitWords('accel', unit);
}
