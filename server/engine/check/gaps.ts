import type { UniformLog } from '../base/log.ts';
import { counted, lasting, moments, percent } from './figures.ts';
import { type CheckLine, cautions, fails, passes } from './line.ts';

/** A break this long is no fault of the logger: the take holds several bursts. */
export const BURST_BREAK_S = 60;
/** Gravity needs two seconds to settle at the start of a stretch, and a hold-off may last as long. */
export const SHORT_STRETCH_S = 2;
/** Where more than half of the recorded time lies in such short stretches, most of it cannot be judged. */
export const SHORT_STRETCH_SHARE = 0.5;
/** A thousandth of the time lost in gaps touches no score. */
export const GAP_TOLERATED_SHARE = 1e-3;

export function checkGaps({ segments, timeUs, stepUs }: UniformLog): CheckLine {
  const lengthsUs = segments.map(({ start, end }) => timeUs[end - 1]! - timeUs[start]! + stepUs);
  const recordedUs = lengthsUs.reduce((sum, length) => sum + length, 0);
  const gaps = segments.slice(1).map(({ start }) => {
    return { atUs: timeUs[start - 1]!, lostUs: timeUs[start]! - timeUs[start - 1]! - stepUs };
  });
  if (gaps.length === 0) return passes('gaps', `None: ${lasting(recordedUs)} in one stretch.`);
  const breaks = gaps.filter(({ lostUs }) => lostUs >= BURST_BREAK_S * 1e6);
  const lost = gaps.filter(({ lostUs }) => lostUs < BURST_BREAK_S * 1e6);
  const lostUs = lost.reduce((sum, gap) => sum + gap.lostUs, 0);
  const shortUs = lengthsUs
    .filter((length) => length < SHORT_STRETCH_S * 1e6)
    .reduce((sum, length) => sum + length, 0);
  const finding = [burstWords(breaks, recordedUs), lossWords(lost, lostUs)]
    .filter((part) => part !== '')
    .join(' ');
  if (shortUs > SHORT_STRETCH_SHARE * recordedUs)
    return fails(
      'gaps',
      `${finding} ${percent(shortUs / recordedUs)} of the time lies in stretches under ${SHORT_STRETCH_S} s.`,
      'Log without breaks: each stretch starts anew, and these are too short to judge.',
      'everything that needs a history: holds, gravity, twist',
    );
  if (breaks.length === 0 && lostUs <= GAP_TOLERATED_SHARE * recordedUs) return passes('gaps', finding);
  return cautions(
    'gaps',
    finding,
    adviceFor(breaks.length > 0),
    'what lies in the gaps and just behind them',
  );
}

function burstWords(breaks: readonly { readonly lostUs: number }[], recordedUs: number): string {
  if (breaks.length === 0) return '';
  const longest = Math.max(...breaks.map(({ lostUs }) => lostUs));
  return `${breaks.length + 1} bursts with up to ${lasting(longest)} between them, ${lasting(recordedUs)} recorded in all: no one long take.`;
}

function lossWords(
  lost: readonly { readonly atUs: number; readonly lostUs: number }[],
  lostUs: number,
): string {
  if (lost.length === 0) return '';
  const at = moments(lost.map(({ atUs }) => atUs));
  return `${counted(lost.length, 'gap')}, ${lasting(lostUs)} lost in all, at ${at}.`;
}

function adviceFor(isBursts: boolean): string {
  return isBursts
    ? 'Each burst is judged on its own, nothing is computed across a break. Give each a second at rest; store bursts that do not belong together as takes of their own.'
    : 'Nothing is computed across a gap, and detectors start anew behind it. If gaps come often, look at the logger: buffer, card, radio.';
}
