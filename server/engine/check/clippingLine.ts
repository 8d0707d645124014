import type { MotionLog } from '../base/log.ts';
import type { Swing } from '../truth/swings.ts';
import type { Clipping } from './clipping.ts';
import type { Line } from './line.ts';

/** Common swings peak above this: a gyro that ends below it cannot hold them. */
const LOW_LIMIT_DPS = 500;
/** Where such a gyro clips more than a fifth of the swings, their turns and lever arms are guesses. */
const CLIPPED_SWING_SHARE = 0.2;

export interface ClippingLine extends Line<'clipping'> {
  readonly channels: readonly (Pick<Clipping, 'name' | 'kind' | 'samples' | 'limits'> & {
    readonly startsUs: readonly number[];
  })[];
  /** Samples that reading the file marked as saturated. */
  readonly markedSamples: number;
  readonly swings: number;
  /** Peaks of the swings among them that rest on clipped samples. */
  readonly clippedPeaksUs: readonly number[];
}

/** @param swings  saturated where their rates are clipped */
export function checkClipping(
  found: readonly Clipping[],
  markedSamples: number,
  { timeUs }: MotionLog,
  swings: readonly Swing[],
): ClippingLine {
  const clippedPeaksUs = swings.filter(({ saturated }) => saturated).map(({ peakUs }) => peakUs);
  const channels = found.map(({ name, kind, samples, limits, runs }) => {
    return { name, kind, samples, limits, startsUs: runs.map(({ start }) => timeUs[start]!) };
  });
  const gyro = found.filter(({ kind }) => kind === 'gyro');
  const lowestDps = Math.min(...gyro.flatMap(({ limits }) => limits.map(Math.abs)));
  const isTooNarrow =
    lowestDps < LOW_LIMIT_DPS && clippedPeaksUs.length > CLIPPED_SWING_SHARE * swings.length;
  const isFree = found.length === 0 && markedSamples === 0;
  return {
    id: 'clipping',
    state: isFree ? 'pass' : isTooNarrow ? 'fail' : 'caution',
    channels,
    markedSamples,
    swings: swings.length,
    clippedPeaksUs,
  };
}
