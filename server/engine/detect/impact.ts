import { samplesFromMs } from '../base/sampleCount.ts';
import { number, type ValuesOf } from '../base/setting.ts';
import type { Signals } from '../motion/signals.ts';
import { type GestureDetector, mostWithin } from './detector.ts';

const IMPACT_SETTINGS = {
  impactG: number(
    { byDefault: 3.2, min: 0.1, max: 200, sliderMax: 20, step: 0.1, unit: 'g' },
    'Hit from',
    'Impact from',
  ),
  /** Added to impactG for every 100 deg/s of swing speed. */
  allowanceGPer100Dps: number(
    { byDefault: 0.3, min: 0, max: 20, sliderMax: 2, step: 0.05, unit: 'g' },
    'Rise per 100 °/s',
    'Impact level rises, for every 100 °/s of swing, by',
  ),
  restMs: number(
    { byDefault: 120, min: 0, max: 5000, sliderMax: 600, step: 1, unit: 'ms' },
    'Rest between',
    'Shortest time between two impacts',
  ),
  /** Corner of the high-pass whose output is "impact". */
  highPassHz: number(
    { byDefault: 20, min: 0.5, max: 500, sliderMax: 80, step: 1, unit: 'Hz' },
    'Listens above',
    'Impact listens above',
  ),
};

export type ImpactSettings = ValuesOf<typeof IMPACT_SETTINGS>;

type Phase = 'armed' | 'disarmed';

/**
 * Impact: fires where the high-passed specific force reaches a level that rises with swing speed,
 * impactG + allowanceGPer100Dps * speed / 100.
 *
 * - armed -> disarmed at a sample at or above the level: an onset. It fires if at least R samples (restMs, rounded
 *   up) lie since the last fire; otherwise it is swallowed, and disarms all the same.
 * - disarmed -> armed at a sample below the level.
 * - NaN in either channel does neither.
 * - After `reset` (start, gap): armed, with no fire before.
 */
export class ImpactDetector {
  private readonly impactG: number;
  private readonly allowanceGPerDps: number;
  private readonly restSamples: number;
  private phase: Phase = 'armed';
  private restLeft = 0;

  /** @throws RangeError  on a setting out of bounds. */
  constructor(settings: ImpactSettings, rateHz: number) {
    const { impactG, restMs, allowanceGPer100Dps } = settings;
    if (!(impactG > 0)) throw new RangeError(`impact.impactG must be above 0, got ${impactG}`);
    if (!(restMs >= 0 && restMs < Infinity))
      throw new RangeError(`impact.restMs must be 0 or more, got ${restMs}`);
    if (!(allowanceGPer100Dps >= 0 && allowanceGPer100Dps < Infinity)) {
      throw new RangeError(`impact.allowanceGPer100Dps must be 0 or more, got ${allowanceGPer100Dps}`);
    }
    this.impactG = impactG;
    this.allowanceGPerDps = allowanceGPer100Dps / 100;
    this.restSamples = samplesFromMs(restMs, rateHz);
  }

  /** True where it fires. */
  step(impactG: number, speedDps: number): boolean {
    if (this.restLeft > 0) --this.restLeft;
    const levelG = this.impactG + this.allowanceGPerDps * speedDps;
    if (this.phase === 'disarmed') {
      if (impactG < levelG) this.phase = 'armed';
      return false;
    }
    if (!(impactG >= levelG)) return false;
    this.phase = 'disarmed';
    if (this.restLeft > 0) return false;
    this.restLeft = this.restSamples;
    return true;
  }

  reset(): void {
    this.phase = 'armed';
    this.restLeft = 0;
  }
}

/** Indices of the samples where an impact fires. */
export function runImpact(signals: Signals, settings: ImpactSettings): Int32Array {
  const impact = new ImpactDetector(settings, signals.rateHz);
  const { impactG, swingSpeedDps } = signals;
  const fires: number[] = [];
  for (const { start, end } of signals.segments) {
    impact.reset();
    for (let i = start; i < end; ++i) if (impact.step(impactG[i]!, swingSpeedDps[i]!)) fires.push(i);
  }
  return Int32Array.from(fires);
}

type Groups = { readonly impact: ImpactSettings };

export const IMPACT = {
  title: 'Impact',
  name: 'Impact',
  settings: IMPACT_SETTINGS,
  restsOn: ['impact'],
  gesture: 'hit',
  names: { one: 'hit', several: 'hits', fire: 'impact', fires: 'impacts' },
  scored: 'Hits heard',
  run: (signals: Signals, { impact }: Groups) => runImpact(signals, impact),
  level: ({ impactG, swingSpeedDps }, at, { impact }: Groups) => {
    const riseGPerDps = impact.allowanceGPer100Dps / 100;
    return { reached: mostWithin(at, impactG, riseGPerDps, swingSpeedDps), asked: impact.impactG };
  },
  factsOf: (signals: Signals, index: number, { impact }: Groups) => {
    const speedDps = signals.swingSpeedDps[index]!;
    const levelG = impact.impactG + (impact.allowanceGPer100Dps * speedDps) / 100;
    return { impactG: signals.impactG[index]!, speedDps, levelG };
  },
} as const satisfies GestureDetector<Groups>;
