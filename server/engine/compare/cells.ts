import {
  type DetectorId,
  GESTURE_DETECTOR_IDS,
  type GestureDetectorId,
  gestureDetector,
} from '../detect/detectors.ts';
import type { Proportion } from '../score/proportion.ts';
import { type Interval, wilsonInterval } from '../statistics/wilson.ts';
import type { TakeScores } from './takeScores.ts';

/** One score as a table holds it; null where there is nothing to score. Of every kind, more is worse. */
export type Cell =
  | { readonly kind: 'count'; readonly k: number; readonly n: number; readonly interval: Interval | null }
  /** A share of a time, 0 to 1, and the length of that time. */
  | { readonly kind: 'share'; readonly share: number; readonly ofS: number }
  | { readonly kind: 'ms'; readonly ms: number }
  | { readonly kind: 'number'; readonly n: number };

export interface ScoreColumn {
  readonly id: string;
  readonly group: DetectorId;
  readonly name: string;
  /** The meaning of the number, in a sentence. */
  readonly says: string;
  read(scores: TakeScores): Cell | null;
}

/** Every score, in the order of the table. */
export const SCORE_COLUMNS: readonly ScoreColumn[] = [
  column('strays', 'guard', 'Strays let through', 'stray presses that the guard lets through', (s) =>
    proportionCell(s.guard.falseAccepts),
  ),
  column('wanted', 'guard', 'Wanted refused', 'wanted presses that the guard refuses', (s) =>
    proportionCell(s.guard.falseRejects),
  ),
  column(
    'open',
    'guard',
    'Open share',
    'part of the spinning time in which the guard is open',
    ({ guard }) =>
      guard.openShare === null ? null : { kind: 'share', share: guard.openShare, ofS: guard.spinningS },
  ),
  column('wait', 'guard', 'Wait after stop', 'from a stop to the guard’s opening, median', (s) =>
    ms(s.guard.waitAfterStopMs),
  ),
  column(
    'missed',
    'deflection',
    'Missed',
    'swings without a deflection',
    (s) => s.deflection && proportionCell(s.deflection.missed),
  ),
  column(
    'twice',
    'deflection',
    'Twice',
    'swings with two deflections or more',
    (s) => s.deflection && proportionCell(s.deflection.twice),
  ),
  column('outside', 'deflection', 'Outside', 'deflections that belong to no swing', ({ deflection }) =>
    deflection === null || deflection.swings === 0 ? null : { kind: 'number', n: deflection.outside },
  ),
  column(
    'delay',
    'deflection',
    'Delay',
    'from a swing’s onset to its deflection, median',
    (s) => s.deflection && ms(s.deflection.delayMs),
  ),
  ...GESTURE_DETECTOR_IDS.flatMap(gestureColumns),
  column('dialOutside', 'twist', 'Dial outside', 'steps of the dial at no labelled twist', (s) =>
    numbered(s.dial.outside),
  ),
  column(
    'dialSpinning',
    'twist',
    'Dial in spins',
    'steps of the dial in labelled spins, at no labelled twist',
    (s) => numbered(s.dial.spinning),
  ),
];

/**
 * Badness of a cell among others of its column. A proportion counts by the low end of its 95 % interval, the part that
 * is nearly certain: by the proportion itself, 1 wrong of 1 would be worse than 6 of 9. Times count by the whole
 * millisecond and shares of time by the tenth of a percent, so that what is shown alike counts alike.
 */
export function badnessOf(cell: Cell): number {
  switch (cell.kind) {
    case 'count':
      return cell.interval?.low ?? 0;
    case 'share':
      return Math.round(1000 * cell.share) / 1000;
    case 'ms':
      return Math.round(cell.ms);
    case 'number':
      return cell.n;
  }
}

/** Index of the worst cell of a column; null where it is the only one, or another is as bad. */
export function worstOf(cells: readonly (Cell | null)[]): number | null {
  const known = cells.flatMap((cell, i) => (cell === null ? [] : [{ i, badness: badnessOf(cell) }]));
  const [first, second] = known.sort((a, b) => b.badness - a.badness);
  return first && second && first.badness > second.badness ? first.i : null;
}

/**
 * A column's cells combined: counts and numbers add up, and a share is weighted by time. Medians cannot be pooled: the
 * longest stands for all. null where every cell is.
 */
export function sumCells(cells: readonly (Cell | null)[]): Cell | null {
  return cells.reduce<Cell | null>(
    (sum, cell) => (sum === null ? cell : cell === null ? sum : joined(sum, cell)),
    null,
  );
}

function joined(a: Cell, b: Cell): Cell {
  if (a.kind === 'count' && b.kind === 'count') {
    const [k, n] = [a.k + b.k, a.n + b.n];
    return { kind: 'count', k, n, interval: wilsonInterval(k, n) };
  }
  if (a.kind === 'share' && b.kind === 'share') {
    const ofS = a.ofS + b.ofS;
    return { kind: 'share', share: (a.share * a.ofS + b.share * b.ofS) / ofS, ofS };
  }
  if (a.kind === 'ms' && b.kind === 'ms') return a.ms >= b.ms ? a : b;
  if (a.kind === 'number' && b.kind === 'number') return { kind: 'number', n: a.n + b.n };
  throw new TypeError(`cells of one column must be of one kind, got ${a.kind} and ${b.kind}`);
}

function column(
  id: string,
  group: DetectorId,
  name: string,
  says: string,
  read: ScoreColumn['read'],
): ScoreColumn {
  return { id, group, name, says, read };
}

function proportionCell({ k, n, interval }: Proportion): Cell | null {
  return n === 0 ? null : { kind: 'count', k, n, interval };
}

function ms(spread: { readonly median: number } | null): Cell | null {
  return spread === null ? null : { kind: 'ms', ms: spread.median };
}

function numbered(n: number | null): Cell | null {
  return n === null ? null : { kind: 'number', n };
}

function gestureColumns(id: GestureDetectorId): ScoreColumn[] {
  const { name, names } = gestureDetector(id);
  const { one, several, fire, fires } = names;
  const missed = `${capital(several)} missed`;
  const falseOnes = `False ${name.toLowerCase()}s`;
  return [
    column(`${id}Missed`, id, missed, `labelled ${several} without ${withArticle(fire)}`, ({ gestures }) =>
      proportionCell(gestures[id].missed),
    ),
    column(
      `${id}False`,
      id,
      falseOnes,
      `${fires} at no labelled ${one}, or at one a second time`,
      ({ gestures }) => {
        const { falseFires, again } = gestures[id];
        return numbered(falseFires === null ? null : falseFires + again);
      },
    ),
  ];
}

function capital(word: string): string {
  return `${word[0]!.toUpperCase()}${word.slice(1)}`;
}

function withArticle(noun: string): string {
  return `${/^[aeiou]/.test(noun) ? 'an' : 'a'} ${noun}`;
}
