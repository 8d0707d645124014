import { counted } from '../../../server/engine/words/count.ts';
import type { TimeWindow } from '../../state/model.ts';
import type { Fate } from '../fate.ts';
import type { JudgedMark } from './worst.ts';

/** Marks that have less room than this in the mean lie on one another: they are counted instead. */
const ROOM_PX = 14;
/** A stretch of the lane that is told in one band. */
const BAND_PX = 24;

/** Fates from the worst down, as a band is split; what is not listed went right or is not known. */
export const FATE_ORDER: readonly Fate[] = [
  'strayLetThrough',
  'wantedRefused',
  'unknown',
  'unlabelledAccepted',
  'unlabelledRefused',
  'strayRefused',
  'wantedAccepted',
];

/** The presses of a stretch, counted by what became of them. */
export interface Band extends TimeWindow {
  readonly total: number;
  /** Stray ones let through and wanted ones refused. */
  readonly wrong: number;
  readonly counts: Readonly<Partial<Record<Fate, number>>>;
}

export function isCrowded(marks: readonly JudgedMark[], width: number): boolean {
  return marks.length * ROOM_PX > width;
}

/**
 * Bands of one width over a window, those without a press left out. They begin at multiples of their length, so that a pan
 * shifts them and counts none anew.
 * @param marks  those in the window, in time order
 */
export function bandsOf(marks: readonly JudgedMark[], window: TimeWindow, width: number): Band[] {
  const lengthUs = ((window.endUs - window.startUs) / width) * BAND_PX;
  const bands: Band[] = [];
  for (let from = 0; from < marks.length; ) {
    const place = Math.floor(marks[from]!.verdict.press.downUs / lengthUs);
    const counts: Partial<Record<Fate, number>> = {};
    let end = from;
    for (; end < marks.length; ++end) {
      const { verdict, fate } = marks[end]!;
      if (verdict.press.downUs >= (place + 1) * lengthUs && end > from) break;
      counts[fate] = (counts[fate] ?? 0) + 1;
    }
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
