import { type Evidence, evidence, sumOf as weightOf } from '../ground/ledger.ts';
import type { NameReading } from '../ground/names.ts';
import { partUnit, unitWords, usPer } from '../ground/units.ts';
import { type ColumnSample, firstValue } from '../layout/columnSample.ts';
import type { NamedColumn } from '../layout/triples.ts';
import { isCutTime, isUnitStep, looksLikeClock, paceOf, risesInBunches } from './pace.ts';

/** A column that may be the clock. */
export interface ClockCandidate {
  readonly column: NamedColumn;
  readonly unit: string;
  readonly reason: string;
  /** What the user should hear about it. */
  readonly notes: readonly string[];
  readonly evidence: readonly Evidence[];
  /** Sum of the evidence: larger is better; below 0 the column is no clock. */
  readonly score: number;
  /** Rows a second as it tells them, over the rows looked at; NaN where its unit is not known. */
  readonly rateHz: number;
}

/** A unit, and what it goes by: words of the file, an epoch that its stamps count from, or the rate that steps mean. */
interface UnitReason {
  readonly unit: string;
  readonly reason: string;
  readonly basis: 'words' | 'epoch' | 'statedRate' | 'usualRate';
  readonly notes?: readonly string[];
}

/** Rates of motion logs lie around this one: the unit that comes nearest (in ratio) is the likeliest. */
const LIKELY_RATE_HZ = 200;
/** A clock whose unit would mean a rate outside these is in another unit: swings need more rows, sensors give fewer. */
const RATE_BOUNDS_HZ = [0.5, 20_000] as const;
/** Below this, a step taken as seconds is rather a part of a day, as spreadsheets count. */
const DAY_STEP = 1e-5;
const DAY_SECONDS = 86_400;
/** Motion is hardly logged at other rates. */
const LIKELY_HZ = [5, 8000] as const;
/** In logarithm. */
const RATE_AGREES = 0.03;
const UNITS = [
  ['s', 1],
  ['ms', 1e-3],
  ['us', 1e-6],
  ['ns', 1e-9],
] as const;

/** The unit of time that a column's name states, or the row of units; null where neither does. */
export function statedTimeUnit({ reading, rowUnit, sample }: NamedColumn): string | null {
  if (sample.unpadded > 0) return partUnit(sample.unpadded);
  if (reading.unit?.quantity === 'time') return reading.unit.unit;
  return rowUnit !== null && usPer(rowUnit) !== null ? rowUnit : null;
}

/**
 * Weighs one column as the clock; null where it is none.
 * @param reading  what its name says; null where names tell nothing
 */
export function weighClock(
  column: NamedColumn,
  reading: NameReading | null,
  statedRateHz: number | null,
): ClockCandidate | null {
  const { sample } = column;
  const named = reading?.kind === 'time';
  const counted = reading?.kind === 'counter';
  if (sample.kind === 'iso8601') return written(column, 'iso8601', 'dates with a time, ISO 8601', 4, false);
  if (sample.kind === 'timeOfDay') return written(column, 'timeOfDay', 'time of day', 3, named);
  if (sample.kind !== 'number' || (reading && !named && !counted)) return null;
  if (!rises(sample)) return null;
  const { steps, rising, step, isCoarse, rowStep, meanStep } = paceOf(sample);
  const isCounter =
    counted || (sample.isWhole && !hasPoint(sample) && isUnitStep(steps) && !(named && isCutTime(steps)));
  if (!named && !counted && !looksLikeClock(rising, step) && !risesInBunches(steps, rising)) return null;
  const stated = statedTimeUnit(column);
  if (isCounter && stated === null) {
    const items = [evidence(named ? 2 : 1, 'it counts the samples')];
    return weighed(column, 'counter', 'counts the samples', items, Number.NaN);
  }
  const guess = guessUnit(firstValue(sample), rowStep, statedRateHz);
  const found = settleUnit(column, reading, stated, rowStep, guess);
  if (found === null) {
    const items = [evidence(-1, ofNoUnit(step))];
    return weighed(column, '', ofNoUnit(step), items, Number.NaN);
  }
  const meanHz = rateOf(meanStep, found.unit);
  const items = numericEvidence(column, reading, isCoarse, found, meanHz, statedRateHz);
  return weighed(column, found.unit, found.reason, items, meanHz, found.notes);
}

/** True where values rise and seldom fall: a clock that wraps or starts anew does, a button falls as often as it rises. */
export function rises({ sinceFirst }: ColumnSample): boolean {
  let [steps, forwards, backwards] = [0, 0, 0];
  let before = Number.NaN;
  for (let i = 0; i < sinceFirst.length; ++i) {
    const value = sinceFirst[i]!;
    if (Number.isNaN(value)) continue;
    if (!Number.isNaN(before)) ++steps;
    if (value > before) ++forwards;
    else if (value < before) ++backwards;
    before = value;
  }
  return forwards > 0 && backwards * 10 <= steps && backwards * 2 <= forwards;
}

function written(
  column: NamedColumn,
  unit: string,
  reason: string,
  weight: number,
  named: boolean,
): ClockCandidate {
  const items = [evidence(weight, reason), evidence(named ? 0.5 : 0, 'its name says time')];
  return weighed(column, unit, reason, items, Number.NaN);
}

function weighed(
  column: NamedColumn,
  unit: string,
  reason: string,
  items: readonly Evidence[],
  rateHz: number,
  notes: readonly string[] = [],
): ClockCandidate {
  return { column, unit, reason, notes, evidence: items, score: weightOf(items), rateHz };
}

/** The unit of a clock of numbers; '' for raw ticks, whose size only the maker of the part knows; null for none at all. */
function settleUnit(
  column: NamedColumn,
  reading: NameReading | null,
  stated: string | null,
  step: number,
  guess: UnitReason | null,
): UnitReason | null {
  if (stated !== null) return trustUnit(stated, statedReason(column, stated), step, guess);
  if (reading && isRaw(column) && guess?.basis !== 'statedRate')
    return { unit: '', reason: 'raw ticks of an unknown length', basis: 'words' };
  return guess;
}

function isRaw({ reading, rowCodes }: NamedColumn): boolean {
  return reading.traits.includes('raw') || reading.codes || rowCodes;
}

function numericEvidence(
  column: NamedColumn,
  reading: NameReading | null,
  isCoarse: boolean,
  { unit, basis }: UnitReason,
  meanHz: number,
  statedRateHz: number | null,
): Evidence[] {
  const stated = statedTimeUnit(column);
  const words = reading ? Math.min(2, reading.group.split(' ').length - 1) : 0;
  const found = [
    reading?.kind === 'time' ? evidence(6, 'its name says time') : evidence(2, 'it rises in steady steps'),
    evidence(isCoarse ? -2 : 0, 'several rows share a stamp'),
    evidence(-0.4 * words, 'its name says more than that'),
  ];
  if (stated !== null) found.push(evidence(2, `a unit is stated: ${unitWords('time', stated)}`));
  // Which tells the unit as well as a name does, and the date besides.
  else if (basis === 'epoch') found.push(evidence(2.5, `${unitWords('time', unit)} since 1970`));
  if (reading && isRaw(column)) found.push(evidence(-2, 'it holds raw ticks'));
  if (reading?.traits.includes('calibrated')) found.push(evidence(0.5, 'its name says calibrated'));
  const shownHz = `${Number(meanHz.toPrecision(4))} Hz`;
  if (statedRateHz !== null && Math.abs(Math.log(meanHz / statedRateHz)) < RATE_AGREES)
    found.push(evidence(2, `it gives the stated rate, ${shownHz}`));
  else if (meanHz < LIKELY_HZ[0] || meanHz > LIKELY_HZ[1])
    found.push(evidence(-2, `in ${unitWords('time', unit)} it would mean ${shownHz}`));
  return found;
}

/** The stated unit, unless it means a rate at which nobody logs and another does not. */
function trustUnit(stated: string, reason: string, step: number, guess: UnitReason | null): UnitReason {
  const own: UnitReason = { unit: stated, reason, basis: 'words' };
  const rateHz = rateOf(step, stated);
  const isAbsurd = rateHz < RATE_BOUNDS_HZ[0] || rateHz > RATE_BOUNDS_HZ[1];
  if (!isAbsurd || guess === null || guess.unit === stated) return own;
  const guessedHz = rateOf(step, guess.unit);
  if (guessedHz < 10 || guessedHz > RATE_BOUNDS_HZ[1]) return own;
  const said = `${reason}, which would mean ${Number(rateHz.toPrecision(3))} Hz: taken as ${unitWords('time', guess.unit)}`;
  return { ...guess, notes: [said] };
}

function rateOf(step: number, unit: string): number {
  return 1e6 / (step * (usPer(unit) ?? Number.NaN));
}

function statedReason({ reading, sample }: NamedColumn, unit: string): string {
  if (sample.unpadded > 0)
    return `${unitWords('time', unit)} joined by a point without leading zeros: as a decimal number it would fall again and again`;
  return `${reading.unit?.quantity === 'time' ? 'its name' : 'the row of units'} says ${unitWords('time', unit)}`;
}

/** `1.000` was measured: nobody counts in thousandths. */
function hasPoint({ distinct }: ColumnSample): boolean {
  return distinct.some((text) => /\d[.,]\d/.test(text));
}

function ofNoUnit(step: number): string {
  return `its steps of ${Number(step.toPrecision(4))} give the stated rate in no unit`;
}

/**
 * The unit of a clock that does not say: from the epoch's size, from the rate that the file states, or from the rate
 * that the step would mean. null where the file states a rate that no unit gives.
 */
export function guessUnit(first: number, step: number, statedRateHz: number | null): UnitReason | null {
  if (step < DAY_STEP) {
    const dayHz = Number((1 / (step * DAY_SECONDS)).toPrecision(4));
    return {
      unit: 'day',
      reason: `its steps of ${Number(step.toPrecision(4))} taken as days mean ${dayHz} Hz`,
      basis: 'usualRate',
    };
  }
  for (const [unit, seconds] of UNITS) {
    const epoch = first * seconds;
    // 2001 to 2065: nine and ten digits of seconds.
    if (epoch > 1e9 && epoch < 3e9) {
      return {
        unit,
        reason: `as ${unitWords('time', unit)} since 1970 its first stamp lies in ${yearOf(epoch)}`,
        basis: 'epoch',
      };
    }
  }
  const wantedHz = statedRateHz ?? LIKELY_RATE_HZ;
  const away = (seconds: number) => Math.abs(Math.log(1 / (step * seconds) / wantedHz));
  const best = UNITS.reduce((a, b) => (away(b[1]) < away(a[1]) ? b : a));
  const rateHz = Number((1 / (step * best[1])).toPrecision(4));
  if (statedRateHz !== null && away(best[1]) > Math.log(1.5)) return null;
  const why = statedRateHz === null ? '' : ', as stated';
  return {
    unit: best[0],
    reason: `its steps of ${Number(step.toPrecision(4))} taken as ${unitWords('time', best[0])} mean ${rateHz} Hz${why}`,
    basis: statedRateHz === null ? 'usualRate' : 'statedRate',
  };
}

function yearOf(epochSeconds: number): string {
  return new Date(epochSeconds * 1000).toISOString().slice(0, 4);
}
