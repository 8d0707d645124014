import type { Press } from '../../server/engine/base/log.ts';
import { recordOf } from '../../server/engine/choose/problem.ts';
import type { Intent, PressVerdict } from '../../server/engine/detect/presses.ts';
import { intentOf, type Labels } from '../../server/engine/labels/labels.ts';
import {
  type Extremes,
  extremesOver,
  findExtremes,
  nextAtOrAbove,
} from '../../server/engine/statistics/extremes.ts';
import { firstAfter, firstAtOrAfter, firstWhere } from '../../server/engine/statistics/sorted.ts';
import { type Fate, fateOf } from './fate.ts';
import type { TimeWindow } from './model.ts';

export interface JudgedMark {
  readonly verdict: PressVerdict;
  readonly fate: Fate;
}

/** Fates from the worst down; what is not stray or wanted went right or is not known. */
export const FATE_ORDER: readonly Fate[] = [
  'strayLetThrough',
  'wantedRefused',
  'unknown',
  'unlabelledAccepted',
  'unlabelledRefused',
  'strayRefused',
  'wantedAccepted',
];

const PLACE_OF = recordOf(FATE_ORDER, (fate) => FATE_ORDER.indexOf(fate));

/**
 * All presses of a take that were judged, in time order. What is asked of a stretch of them in every frame of a zoom, how
 * many have a fate and which is the worst, passes over none of them.
 */
export class JudgedMarks {
  readonly marks: readonly JudgedMark[];
  /** How many of the first k presses have each fate: a row a press and one more, a column a fate. */
  private counts: Int32Array | null = null;
  /** The hold that each stray press that is let through asks for; -Infinity for all others. */
  private holdsMs: Extremes | null = null;
  readonly whole: MarksInSight;
  private last: MarksInSight;
  private wrongPlaces: readonly number[] | null = null;
  private timesUs: Float64Array | null = null;

  constructor(marks: readonly JudgedMark[]) {
    this.marks = marks;
    this.whole = new MarksInSight(this, 0, marks.length);
    this.last = this.whole;
  }

  /** When each of them goes down. */
  get downUs(): Float64Array {
    if (this.timesUs === null) {
      // Not `from`, which asks an iterator for each: a step of a drag makes these anew.
      this.timesUs = new Float64Array(this.marks.length);
      for (let k = 0; k < this.marks.length; ++k) this.timesUs[k] = this.marks[k]!.verdict.press.downUs;
    }
    return this.timesUs;
  }

  /** Places of the stray presses that are let through and of the wanted ones that are refused. */
  get wrong(): readonly number[] {
    this.wrongPlaces ??= this.marks.flatMap((mark, place) => (isWrong(mark) ? [place] : []));
    return this.wrongPlaces;
  }

  /** The presses in a window; the same object while they are the same. */
  inSight(window: TimeWindow): MarksInSight {
    const first = firstAtOrAfter(this.downUs, window.startUs);
    const end = firstAfter(this.downUs, window.endUs);
    if (this.last.first !== first || this.last.end !== end) this.last = new MarksInSight(this, first, end);
    return this.last;
  }

  /** How many of the presses [first, end) have a fate. */
  count(fate: Fate, first: number, end: number): number {
    const fates = FATE_ORDER.length;
    const place = PLACE_OF[fate];
    this.counts ??= countFates(this.marks);
    return this.counts[end * fates + place]! - this.counts[first * fates + place]!;
  }

  /** How many of the presses [first, end) have each fate, in the order of `FATE_ORDER`. */
  countAll(first: number, end: number): number[] {
    const fates = FATE_ORDER.length;
    this.counts ??= countFates(this.marks);
    const { counts } = this;
    return FATE_ORDER.map((_, place) => counts[end * fates + place]! - counts[first * fates + place]!);
  }

  /**
   * Of the presses [first, end) the one that went wrong the worst: of the stray ones that were let through the one that asks
   * for the longest hold, else the first wanted one that was refused; null where all went right.
   */
  worst(first: number, end: number): JudgedMark | null {
    if (this.count('strayLetThrough', first, end) > 0) {
      this.holdsMs ??= findExtremes(holdsOf(this.marks));
      const range = new Float64Array(2);
      extremesOver(this.holdsMs, first, end, range);
      return this.marks[nextAtOrAbove(this.holdsMs, first, end, range[1]!)]!;
    }
    if (this.count('wantedRefused', first, end) === 0) return null;
    return this.marks[
      first + firstWhere(end - first, (k) => this.count('wantedRefused', first, first + k + 1) > 0)
    ]!;
  }
}

function countFates(marks: readonly JudgedMark[]): Int32Array {
  const fates = FATE_ORDER.length;
  const counts = new Int32Array((marks.length + 1) * fates);
  for (let k = 0; k < marks.length; ++k) {
    const row = (k + 1) * fates;
    for (let place = row; place < row + fates; ++place) counts[place] = counts[place - fates]!;
    ++counts[row + PLACE_OF[marks[k]!.fate]]!;
  }
  return counts;
}

function holdsOf(marks: readonly JudgedMark[]): Float64Array {
  const holdsMs = new Float64Array(marks.length).fill(Number.NEGATIVE_INFINITY);
  for (let k = 0; k < marks.length; ++k) {
    const { fate, verdict } = marks[k]!;
    if (fate === 'strayLetThrough') holdsMs[k] = verdict.beforeMs ?? Number.POSITIVE_INFINITY;
  }
  return holdsMs;
}

/** Presses that stand side by side in time: places [first, end) of all. */
export class MarksInSight {
  readonly all: JudgedMarks;
  readonly first: number;
  readonly end: number;

  constructor(all: JudgedMarks, first: number, end: number) {
    this.all = all;
    this.first = first;
    this.end = end;
  }

  get length(): number {
    return this.end - this.first;
  }

  /** Each by itself: to be asked for where there is room for all of them. */
  list(): readonly JudgedMark[] {
    return this.all.marks.slice(this.first, this.end);
  }

  count(fate: Fate): number {
    return this.all.count(fate, this.first, this.end);
  }

  worst(): JudgedMark | null {
    return this.all.worst(this.first, this.end);
  }

  /** The press that is told of: the chosen one where it went wrong and is in sight, else the worst. */
  said(chosen: number | null): JudgedMark | null {
    const own = chosen !== null && chosen >= this.first && chosen < this.end ? this.all.marks[chosen]! : null;
    return own && isWrong(own) ? own : this.worst();
  }
}

function isWrong({ fate }: JudgedMark): boolean {
  return fate === 'strayLetThrough' || fate === 'wantedRefused';
}

const judged = new WeakMap<
  readonly PressVerdict[],
  { readonly labels: Labels['presses']; readonly marks: JudgedMarks }
>();

interface Intended {
  readonly press: Press;
  readonly intent: Intent | null;
}

const intended = new WeakMap<Labels['presses'], readonly Intended[]>();

/** What each press was meant to do: while a line is dragged over thousands of presses, the same as a step before. */
function intentsOf(verdicts: readonly PressVerdict[], labels: Pick<Labels, 'presses'>): readonly Intended[] {
  const last = intended.get(labels.presses);
  const areSame =
    last?.length === verdicts.length && last.every(({ press }, k) => press === verdicts[k]!.press);
  if (areSame) return last;
  const found = verdicts.map(({ press }) => ({ press, intent: intentOf(labels, press)?.intent ?? null }));
  intended.set(labels.presses, found);
  return found;
}

/** The presses that were judged, each with what became of it: told once for lanes, trace, legend and sentence. */
export function judgedMarks(verdicts: readonly PressVerdict[], labels: Pick<Labels, 'presses'>): JudgedMarks {
  const known = judged.get(verdicts);
  if (known?.labels === labels.presses) return known.marks;
  const intents = intentsOf(verdicts, labels);
  const marks = new JudgedMarks(
    verdicts.map((verdict, k) => ({ verdict, fate: fateOf(verdict, intents[k]!.intent) })),
  );
  judged.set(verdicts, { labels: labels.presses, marks });
  return marks;
}

/** The presses in a window that were judged, each with what became of it. */
export function pressesInSight(
  verdicts: readonly PressVerdict[],
  labels: Pick<Labels, 'presses'>,
  window: TimeWindow,
): MarksInSight {
  return judgedMarks(verdicts, labels).inSight(window);
}
