import { disorderText } from '../ground/disorder.ts';
import { enter, LEAD_NEEDED, type LedgerEntry, leadOf, rank, type Weighed } from '../ground/ledger.ts';
import { unitWords } from '../ground/units.ts';
import type { FileHead } from '../layout/fileHead.ts';
import type { NamedColumn } from '../layout/triples.ts';
import { type ClockCandidate, rises, weighClock } from './clockGuess.ts';
import { sameValues } from './sameValues.ts';

/** The clock of one file, as far as that is clear. */
export interface ClockChoice {
  /** null for none, or where the user is asked. */
  readonly clock: ClockCandidate | null;
  /** All that were weighed. */
  readonly candidates: readonly ClockCandidate[];
  readonly ledger: readonly LedgerEntry[];
  /** What the user has to settle; null for nothing. */
  readonly need: string | null;
}

/** Rates nearer to each other than this (in logarithm) are one rate. */
const SAME_RATE = 0.02;
/** Rows that tell whether a column holds the stamps of a clock in another order; without a name it takes more. */
const NAMED_ROWS = 20;
const NAMELESS_ROWS = 1000;
/** A clock hardly gives two rows one stamp; whole numbers that measure something repeat. */
const DIFFERING = 0.99;

/**
 * Weighs the columns of a file as its clock. Where two that tell different rates weigh about the same, the user is asked.
 * @param free  columns that are nothing else
 */
export function chooseClock(head: FileHead, free: readonly NamedColumn[], isSeveral: boolean): ClockChoice {
  const { rateHz } = head.facts;
  const weigh = (column: NamedColumn, isTelling: boolean) =>
    weighClock(column, isTelling ? column.reading : null, rateHz) ?? [];
  let candidates = free.flatMap((column) => weigh(column, head.layout.headerLine !== null));
  // Names in another language: only the values can tell.
  const strangers = free.filter(({ reading }) => reading.kind === 'unknown');
  if (candidates.length === 0) candidates = strangers.flatMap((column) => weigh(column, false));
  const ranked = rank(
    candidates
      .filter(({ score }) => score >= 0)
      .map(
        (value): Weighed<ClockCandidate> => ({ value, reading: readingOf(value), evidence: value.evidence }),
      ),
  );
  const best = ranked[0]?.value ?? null;
  const shuffled = best?.column.reading.kind === 'time' ? undefined : free.find(isShuffledClock);
  if (shuffled) return { clock: null, candidates, ledger: [], need: disorderText(shuffled.name) };
  if (best === null) return { clock: null, candidates, ledger: [], need: null };
  const lead = leadOf(ranked, isSameClock);
  const rival = ranked.find(({ value }) => !isSameClock(value, best))?.value;
  const isOpen = rival !== undefined && lead !== null && lead < LEAD_NEEDED && best.unit !== 'counter';
  const question = `Which column is the clock${isSeveral ? ` of ${head.name}` : ''}?`;
  return {
    clock: isOpen ? null : best,
    candidates,
    ledger: [enter(question, ranked, lead, isOpen ? 'asked' : 'taken')],
    need: isOpen
      ? `it is not clear which column is the clock: "${best.column.name}" would mean ${hz(best)}, "${rival.column.name}" ${hz(rival)}: say which`
      : null,
  };
}

/** Whether a column holds a clock's stamps, going by its name or as a count does, but in another order. */
function isShuffledClock({ reading, sample }: NamedColumn): boolean {
  if (sample.kind !== 'number' || rises(sample)) return false;
  const isNamed = reading.kind === 'time' || reading.kind === 'counter';
  if (!isNamed && !(reading.kind === 'unknown' && sample.isWhole)) return false;
  const values = sample.values.filter((value) => !Number.isNaN(value));
  if (values.length < (isNamed ? NAMED_ROWS : NAMELESS_ROWS)) return false;
  return new Set(values).size >= DIFFERING * values.length;
}

function readingOf({ column, unit }: ClockCandidate): string {
  return `${column.name}${unit === '' ? '' : ` in ${unitWords('time', unit)}`}`;
}

function hz({ rateHz }: ClockCandidate): string {
  return `${Number(rateHz.toPrecision(4))} Hz`;
}

/** What makes no difference: the same values, one rate, a count beside a clock, or a date whose rate the head does not tell. */
function isSameClock(a: ClockCandidate, b: ClockCandidate): boolean {
  if (a === b || a.unit === 'counter' || b.unit === 'counter') return true;
  if (sameValues([a.column], [b.column])) return true;
  return !(Math.abs(Math.log(a.rateHz / b.rateHz)) > SAME_RATE);
}
