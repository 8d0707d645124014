import type { Span } from '../base/log.ts';
import { sampleRanges } from '../base/sampleRanges.ts';
import { type ClosedSamples, countClosed } from '../detect/closedRuns.ts';
import type { SpeedSignals } from '../motion/signals.ts';

/** How many of the samples inside the spans are open, and how many there are. */
interface OpenSamples {
  readonly open: number;
  readonly total: number;
}

/** @param spans  may overlap: a sample in two of them counts once. */
export function openSamples(
  signals: SpeedSignals,
  closed: ClosedSamples,
  spans: readonly Span[],
): OpenSamples {
  let shut = 0;
  let total = 0;
  for (const { start, end } of sampleRanges(signals.timeUs, spans)) {
    total += end - start;
    shut += countClosed(closed, start, end);
  }
  return { open: total - shut, total };
}
