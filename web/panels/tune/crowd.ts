import { firstWhere } from '../../../server/engine/statistics/sorted.ts';
import { counted } from '../../../server/engine/words/count.ts';
import type { Fate } from '../../state/fate.ts';
import { FATE_ORDER, type MarksInSight } from '../../state/judgedMarks.ts';
import type { TimeWindow } from '../../state/model.ts';

/** Marks that have less room than this in the mean lie on one another: they are counted instead. */
const ROOM_PX = 14;
/** A stretch of the lane that is told in one band: there is room for a number of three digits above it. */
const BAND_PX = 28;

/** The presses of a stretch, counted by what became of them. */
export interface Band extends TimeWindow {
  readonly total: number;
  /** Stray ones let through and wanted ones refused. */
  readonly wrong: number;
  readonly counts: Readonly<Partial<Record<Fate, number>>>;
}

export function isCrowded(marks: MarksInSight, width: number): boolean {
  return marks.length * ROOM_PX > width;
}

/**
 * Bands of one width over a window, those without a press left out. They begin at multiples of their length, so that a pan
 * shifts them and counts none anew.
 * @param marks  those in the window
 */
export function bandsOf(marks: MarksInSight, window: TimeWindow, width: number): Band[] {
  const lengthUs = ((window.endUs - window.startUs) / width) * BAND_PX;
  const { downUs } = marks.all;
  const bands: Band[] = [];
  for (let from = marks.first; from < marks.end; ) {
    const place = Math.floor(downUs[from]! / lengthUs);
    const next = from + 1;
    const nextUs = (place + 1) * lengthUs;
    const end = next + firstWhere(marks.end - next, (k) => downUs[next + k]! >= nextUs);
    const counts: Partial<Record<Fate, number>> = {};
    for (const [k, count] of marks.all.countAll(from, end).entries())
      if (count > 0) counts[FATE_ORDER[k]!] = count;
    const wrong = (counts.strayLetThrough ?? 0) + (counts.wantedRefused ?? 0);
    const startUs = place * lengthUs;
    bands.push({ startUs, endUs: startUs + lengthUs, total: end - from, wrong, counts });
    from = end;
  }
  return bands;
}

const WORDS: Readonly<Record<Fate, string>> = {
  strayLetThrough: 'stray let through',
  wantedRefused: 'wanted refused',
  unknown: 'not known',
  unlabelledAccepted: 'no label, accepted',
  unlabelledRefused: 'no label, refused',
  strayRefused: 'stray refused',
  wantedAccepted: 'wanted accepted',
};

/** What a band holds, in words. */
export function bandTitle({ total }: Band): string {
  return counted(total, 'press', 'presses');
}

export function bandText({ counts }: Band): string {
  const parts = FATE_ORDER.flatMap((fate) => (counts[fate] ? [`${counts[fate]} ${WORDS[fate]}`] : []));
  return `${parts.join(', ')}. Click to zoom in.`;
}
