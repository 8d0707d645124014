import type { Press } from '../base/log.ts';
import { firstAfter } from '../statistics/sorted.ts';
import type { Labels } from './labels.ts';
import { type FittedLabels, fitToTake } from './labelsFit.ts';

/** The same moments of a take under its old and its new reading; `fromUs` rises, and there are two or more. */
interface MomentPairs {
  readonly fromUs: Float64Array;
  readonly toUs: Float64Array;
}

/**
 * The labels of a take that was read in another way, each moved to where its moment is now, as far as they fit what was
 * read. Between two pairs a moment keeps its share of the way; beyond the ends it goes on as the whole does.
 * @throws RangeError  for fewer than two pairs
 */
export function moveLabels(
  labels: Labels,
  pairs: MomentPairs,
  presses: readonly Press[],
  durationUs: number,
): FittedLabels {
  const { fromUs, toUs } = pairs;
  if (!(fromUs.length >= 2 && fromUs.length === toUs.length))
    throw new RangeError(`two pairs of moments or more are needed, got ${fromUs.length}`);
  const move = (us: number) => Math.max(0, Math.round(moved(us, pairs)));
  const stretch = <T extends { readonly startUs: number; readonly endUs: number }>(own: T): T => ({
    ...own,
    startUs: move(own.startUs),
    endUs: move(own.endUs),
  });
  const isLater = ({ startUs, endUs }: { readonly startUs: number; readonly endUs: number }) =>
    endUs > startUs;
  const there: Labels = {
    presses: labels.presses.map((own) => ({ ...own, downUs: move(own.downUs) })),
    spans: labels.spans.map(stretch).filter(isLater),
    swings: labels.swings.map((own) => ({ ...stretch(own), peakUs: move(own.peakUs) })).filter(isLater),
    gestures: (labels.gestures ?? []).map(stretch).filter(isLater),
  };
  return fitToTake(there, presses, durationUs, labels);
}

function moved(us: number, { fromUs, toUs }: MomentPairs): number {
  const last = fromUs.length - 1;
  const slope = (toUs[last]! - toUs[0]!) / (fromUs[last]! - fromUs[0]!);
  if (us <= fromUs[0]!) return toUs[0]! + slope * (us - fromUs[0]!);
  if (us >= fromUs[last]!) return toUs[last]! + slope * (us - fromUs[last]!);
  const next = firstAfter(fromUs, us);
  const before = next - 1;
  const share = (us - fromUs[before]!) / (fromUs[next]! - fromUs[before]!);
  return toUs[before]! + share * (toUs[next]! - toUs[before]!);
}
