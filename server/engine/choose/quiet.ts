import type { Span } from '../base/log.ts';
import { sampleRanges } from '../base/sampleRanges.ts';
import type { GuardSettings } from '../detect/guard.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import { STOP_MS } from '../score/waitAfterStop.ts';
import { holdTails } from '../sweep/holdBins.ts';
import { OpenSweep } from '../sweep/openSweep.ts';
import { ThresholdWalk } from '../sweep/thresholdWalk.ts';
import type { Truth } from '../truth/truth.ts';

/** A thumb may already go for the button as a swing begins: the time just before one is not quiet. */
const BEFORE_SWING_MS = 300;

/**
 * The time in which the blade is held or carried: outside spins and swings, from STOP_MS after one on. A press there is
 * most likely wanted, labelled or not.
 */
export function quietSpans({ swings, spinning }: Pick<Truth, 'swings' | 'spinning'>, endUs: number): Span[] {
  const busy = [...swings, ...spinning]
    .map((span) => ({ startUs: span.startUs - BEFORE_SWING_MS * 1000, endUs: span.endUs + STOP_MS * 1000 }))
    .sort((a, b) => a.startUs - b.startUs);
  const quiet: Span[] = [];
  let fromUs = 0;
  for (const span of busy) {
    if (span.startUs > fromUs) quiet.push({ startUs: fromUs, endUs: Math.min(span.startUs, endUs) });
    fromUs = Math.max(fromUs, span.endUs);
  }
  if (fromUs < endUs) quiet.push({ startUs: fromUs, endUs });
  return quiet.filter((span) => span.endUs > span.startUs);
}

/**
 * The samples inside spans at which a guard is closed, over a grid: the cell of speed s and hold h stands at
 * s * holds + h; and how many samples there are.
 */
export function sweepClosed(args: {
  readonly signals: SpeedSignals;
  readonly spans: readonly Span[];
  readonly releaseRatio: GuardSettings['releaseRatio'];
  readonly speedsDps: Float64Array;
  readonly holdsMs: Float64Array;
}): { readonly closed: Float64Array; readonly total: number } {
  const { signals, speedsDps } = args;
  const tails = holdTails(args.holdsMs, signals.rateHz);
  const sweep = new OpenSweep(sampleRanges(signals.timeUs, args.spans), speedsDps.length, tails);
  const walk = new ThresholdWalk(speedsDps, args.releaseRatio);
  for (const { start, end } of signals.segments) {
    walk.reset();
    walk.walk(signals.swingSpeedDps, start, end, sweep);
    for (let t = 0; t < speedsDps.length; ++t) sweep.finish(t, t < walk.highCount, walk.lastHigh[t]!, end);
  }
  const closed = new Float64Array(speedsDps.length * tails.length);
  for (let t = 0, cell = 0; t < speedsDps.length; ++t) {
    for (let hold = 0; hold < tails.length; ++hold, ++cell) closed[cell] = sweep.closed(t, hold);
  }
  return { closed, total: sweep.total };
}
