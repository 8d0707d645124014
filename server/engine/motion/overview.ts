import type { UniformLog } from '../base/log.ts';
import { estimateBias } from '../calibrate/bias.ts';
import type { Calibration } from '../calibrate/calibration.ts';
import type { SmoothingSettings } from '../filter/smoothing.ts';
import { extremesOver, findExtremes } from '../statistics/extremes.ts';
import { firstAtOrAfter } from '../statistics/sorted.ts';
import { ratesInPropFrame } from './propFrame.ts';
import { computeSpeedSignals } from './signals.ts';

/**
 * The lowest and the highest swing speed of even stretches of a take: enough to draw all of it, before the take itself is
 * read. null where a stretch holds no sample. No verdict rests on it.
 */
export interface SpeedOverview {
  readonly durationUs: number;
  readonly lowsDps: readonly (number | null)[];
  readonly highsDps: readonly (number | null)[];
}

/** Stretches of an overview: more than a plot has pixels. */
const STRETCHES = 2048;

/** @param log  its forces are overwritten: whoever looks at a take from afar holds no more columns than the take has. */
export function speedOverview(
  log: UniformLog,
  calibration: Calibration,
  smoothing: SmoothingSettings,
): SpeedOverview {
  const { rateHz, timeUs, segments, saturated } = log;
  const bias = calibration.bias === 'auto' ? estimateBias(log) : calibration.bias;
  const { gyroYDps, gyroZDps } = ratesInPropFrame(log, bias, calibration.mount, [
    log.accelXG,
    log.accelYG,
    log.accelZG,
  ]);
  const seen = { rateHz, timeUs, segments, saturated, trueSpeedDps: timeUs, gyroYDps, gyroZDps };
  const extremes = findExtremes(computeSpeedSignals(seen, smoothing).swingSpeedDps);
  const durationUs = timeUs.at(-1) ?? 0;
  const lowsDps: (number | null)[] = [];
  const highsDps: (number | null)[] = [];
  const pair = new Float64Array(2);
  for (let k = 0, from = 0; k < STRETCHES; ++k) {
    const isLast = k === STRETCHES - 1;
    const end = isLast ? timeUs.length : firstAtOrAfter(timeUs, ((k + 1) * durationUs) / STRETCHES);
    extremesOver(extremes, from, end, pair);
    lowsDps.push(shown(pair[0]!));
    highsDps.push(shown(pair[1]!));
    from = end;
  }
  return { durationUs, lowsDps, highsDps };
}

/** To a hundredth, which no plot tells from the value itself. */
function shown(dps: number): number | null {
  return Number.isFinite(dps) ? Math.round(dps * 100) / 100 : null;
}
