import type { UniformLog } from '../base/log.ts';
import { type AllanPoint, allanCurve } from '../spectrum/allan.ts';
import { type NoiseFigures, readNoiseFigures } from '../spectrum/noiseFigures.ts';
import { firstAtOrAfter } from '../statistics/sorted.ts';
import { CHANNELS, type ChannelKey } from './input.ts';
import type { Rest } from './rest.ts';

/** A rest shorter than this gives a curve of a few points, which says nothing. */
const ALLAN_LEAST_S = 1;
const WANDER_S = 10;

/** Allan deviations of the longest stretch at rest. */
export interface RestNoise {
  readonly restS: number;
  readonly curves: readonly {
    readonly key: ChannelKey;
    readonly name: string;
    readonly points: readonly AllanPoint[];
  }[];
  readonly gyro: NoiseFigures;
  readonly accel: NoiseFigures;
}

export function measureRestNoise(log: UniformLog, { stretches }: Rest): RestNoise | null {
  const [first, ...rest] = stretches;
  if (!first) return null;
  const longest = rest.reduce(
    (best, one) => (one.endUs - one.startUs > best.endUs - best.startUs ? one : best),
    first,
  );
  const restS = (longest.endUs - longest.startUs) / 1e6;
  if (restS < ALLAN_LEAST_S) return null;
  const start = firstAtOrAfter(log.timeUs, longest.startUs);
  const end = firstAtOrAfter(log.timeUs, longest.endUs + 1);
  const curves = CHANNELS.map(({ key, name }) => {
    return { key, name, points: allanCurve(log[key].subarray(start, end), log.rateHz) };
  });
  return { restS, curves, gyro: worstOf(curves, 'gyro'), accel: worstOf(curves, 'accel') };
}

/** The figures of the noisiest of a sensor's axes. */
function worstOf(curves: RestNoise['curves'], kind: 'gyro' | 'accel'): NoiseFigures {
  const figures = curves
    .filter(({ key }) => key.startsWith(kind))
    .map(({ points }) => readNoiseFigures(points));
  return figures.reduce((worst, one) =>
    (one.densityPerRootHz ?? 0) > (worst.densityPerRootHz ?? 0) ? one : worst,
  );
}

/** Standard deviation of the angle that noise alone adds in ten seconds: N √t. */
export function wanderDeg(noise: RestNoise | null): number | null {
  const density = noise?.gyro.densityPerRootHz ?? null;
  return density === null ? null : density * Math.sqrt(WANDER_S);
}
