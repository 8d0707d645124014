/** One thing that speaks for a reading (above 0) or against it. Weights are like log-odds: 2 is about seven to one. */
export interface Evidence {
  /** With the figure it rests on. */
  readonly text: string;
  readonly weight: number;
}

/** One way to read the log, and all that was found to speak for and against it. */
interface WeighedReading {
  readonly reading: string;
  readonly evidence: readonly Evidence[];
  /** Sum of the weights. */
  readonly sum: number;
}

/** What was weighed against what, and how it came out. */
export interface LedgerEntry {
  readonly question: string;
  /** The best first. */
  readonly readings: readonly WeighedReading[];
  /** How far the best is ahead of the best reading that would come out differently; null where there is none. */
  readonly lead: number | null;
  /** A lead below this asks the user. */
  readonly leadNeeded: number;
  /** `alike`: several are right, and the first is taken. `guessed`: taken, with a warning that it is a guess. */
  readonly outcome: 'taken' | 'alike' | 'guessed' | 'stated' | 'asked';
}

/** A lead of two is about seven to one. */
export const LEAD_NEEDED = 2;
const READINGS_SHOWN = 5;
/** Readings so far behind are not worth a line, unless there is no other. */
const FAR_BEHIND = 10;

/** Weights are rounded to what is shown, so that the shown ones add up. */
export function evidence(weight: number, text: string): Evidence {
  return { text: text.replace(/-(?=\d)/g, '−'), weight: Math.round(10 * weight) / 10 };
}

export function sumOf(items: readonly Evidence[]): number {
  return Math.round(10 * items.reduce((sum, { weight }) => sum + weight, 0)) / 10;
}

/** What is weighed: a reading with the evidence on it. */
export interface Weighed<T> {
  readonly value: T;
  readonly reading: string;
  readonly evidence: readonly Evidence[];
}

/** The candidates, best first, the earlier first where sums are equal. */
export function rank<T>(candidates: readonly Weighed<T>[]): Weighed<T>[] {
  return candidates
    .map((reading, i) => ({ reading, i, sum: sumOf(reading.evidence) }))
    .sort((a, b) => b.sum - a.sum || a.i - b.i)
    .map(({ reading }) => reading);
}

/**
 * How far the first of the ranked candidates is ahead of the next one that means something else.
 * @param isSame  true where two of them come to the same
 */
export function leadOf<T>(
  ranked: readonly Weighed<T>[],
  isSame: (a: T, b: T) => boolean = () => false,
): number | null {
  const [best, ...others] = ranked;
  const rival = best && others.find(({ value }) => !isSame(value, best.value));
  return rival ? Math.round(10 * (sumOf(best.evidence) - sumOf(rival.evidence))) / 10 : null;
}

/** The best, its rival, and what is not hopeless. */
function shownOf<T>(ranked: readonly Weighed<T>[]): readonly Weighed<T>[] {
  const best = ranked[0] ? sumOf(ranked[0].evidence) : 0;
  return ranked
    .slice(0, READINGS_SHOWN)
    .filter((reading, i) => i < 2 || best - sumOf(reading.evidence) < FAR_BEHIND);
}

/** An entry of the ledger. */
export function enter<T>(
  question: string,
  ranked: readonly Weighed<T>[],
  lead: number | null,
  outcome: LedgerEntry['outcome'],
): LedgerEntry {
  return {
    question,
    readings: shownOf(ranked).map((reading) => ({
      reading: reading.reading,
      evidence: reading.evidence.filter(({ weight }) => weight !== 0),
      sum: sumOf(reading.evidence),
    })),
    lead,
    leadNeeded: LEAD_NEEDED,
    outcome,
  };
}
