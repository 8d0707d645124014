import type { UniformLog } from '../base/log.ts';
import type { Line } from './line.ts';

/** A break this long is no fault of the logger: the take holds several bursts. */
const BURST_BREAK_S = 60;
/** Gravity needs two seconds to settle at the start of a stretch, and a hold-off may last as long. */
export const SHORT_STRETCH_S = 2;
/** Where more than half of the recorded time lies in such short stretches, most of the take cannot be judged. */
const SHORT_STRETCH_SHARE = 0.5;
/** A thousandth of the time lost in gaps changes no score. */
const GAP_TOLERATED_SHARE = 1e-3;

export interface GapsLine extends Line<'gaps'> {
  readonly recordedUs: number;
  /** Parts of the take that a long break sets apart, and the longest such break. */
  readonly bursts: number;
  readonly longestBreakUs: number;
  /** Where the other gaps begin, and how much is lost in them. */
  readonly gapsUs: readonly number[];
  readonly lostUs: number;
  /** Part of the recorded time that lies in stretches too short to judge. */
  readonly shortShare: number;
}

export function checkGaps({ segments, timeUs, stepUs }: UniformLog): GapsLine {
  const lengthsUs = segments.map(({ start, end }) => timeUs[end - 1]! - timeUs[start]! + stepUs);
  const recordedUs = sum(lengthsUs);
  const all = segments.slice(1).map(({ start }) => {
    return { atUs: timeUs[start - 1]!, lostUs: timeUs[start]! - timeUs[start - 1]! - stepUs };
  });
  const breaks = all.filter(({ lostUs }) => lostUs >= BURST_BREAK_S * 1e6);
  const gaps = all.filter(({ lostUs }) => lostUs < BURST_BREAK_S * 1e6);
  const lostUs = sum(gaps.map((gap) => gap.lostUs));
  const shortShare = sum(lengthsUs.filter((length) => length < SHORT_STRETCH_S * 1e6)) / recordedUs;
  const isWhole = breaks.length === 0 && lostUs <= GAP_TOLERATED_SHARE * recordedUs;
  const isTooShort = all.length > 0 && shortShare > SHORT_STRETCH_SHARE;
  return {
    id: 'gaps',
    state: isTooShort ? 'fail' : isWhole ? 'pass' : 'caution',
    recordedUs,
    bursts: breaks.length + 1,
    longestBreakUs: Math.max(0, ...breaks.map((one) => one.lostUs)),
    gapsUs: gaps.map(({ atUs }) => atUs),
    lostUs,
    shortShare,
  };
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
