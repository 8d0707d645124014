import { samplesFromMs } from '../base/sampleCount.ts';
import { number, type ValuesOf } from '../base/setting.ts';
import type { Signals } from '../motion/signals.ts';
import { type GestureDetector, mostWithin } from './detector.ts';
import { ImpactDetector, type ImpactSettings } from './impact.ts';

/**
 * Why these numbers: a push of 1.5 g and 0.1 s stands at 1.2 g for 20 ms once a low-pass of 25 Hz has been over it,
 * and a hand that goes along with a swing pushes 0.8 g at the most while the blade is slower than 200 deg/s. At that speed
 * a lever arm of 0.7 m pulls 0.87 g: below 1 g too, should nobody have set the lever arm, or the mount be end for end.
 * An arm that turns in two joints does push 1.5 to 4 g, but only as a swing starts, stops or turns back: hence quiet before
 * and until the hit. A hit ends a thrust at a part of its own level, which has to stand above what the force does where a
 * fast swing turns; a quiet blade needs less, and a sharp hit is soon too short to be seen whole: a shock of 6 g and 4 ms
 * behind a sensor's low-pass of 42 Hz reads 1.0 to 1.4 g on the channel that impacts are told by.
 */
const STAB_SETTINGS = {
  thrustG: number(
    { byDefault: 1, min: 0.1, max: 50, sliderMax: 6, step: 0.1, unit: 'g' },
    'Thrust',
    'Stab needs a thrust of',
  ),
  sustainMs: number(
    { byDefault: 20, min: 0, max: 1000, sliderMax: 200, step: 1, unit: 'ms' },
    'Lasting',
    'Thrust must last for',
  ),
  quietDps: number(
    { byDefault: 200, min: 5, max: 4000, sliderMax: 600, step: 1, unit: '°/s' },
    'Swing at most',
    'Stab needs a swing speed of at most',
  ),
  /** How long the blade must have been quiet before the thrust. */
  quietBeforeMs: number(
    { byDefault: 200, min: 0, max: 2000, sliderMax: 500, step: 5, unit: 'ms' },
    'Quiet before',
    'Blade must have been that slow, before the thrust, for',
    { growth: { since: 2, before: 0 } },
  ),
  windowMs: number(
    { byDefault: 120, min: 0, max: 2000, sliderMax: 500, step: 1, unit: 'ms' },
    'Hit within',
    'Impact must follow the thrust within',
  ),
  /** A swing faster than this between thrust and hit ends the wait for the hit. */
  untilHitDps: number(
    { byDefault: 300, min: 5, max: 10000, sliderMax: 1000, step: 5, unit: '°/s' },
    'Swing until hit',
    'Between thrust and impact, a swing speed of at most',
    { growth: { since: 2, before: 10_000 } },
  ),
  /** A hit ends a thrust from this part of impact.impactG on; the allowance for swing speed stays whole. */
  hitRatio: number(
    { byDefault: 0.2, min: 0.05, max: 1, sliderMax: 1, step: 0.01, unit: '' },
    'Part of a hit',
    'Impact ends a stab from this part of its own level',
    { partOf: 'impact.impactG', growth: { since: 2, before: 0.25 } },
  ),
};

export type StabSettings = ValuesOf<typeof STAB_SETTINGS>;

type Phase = 'idle' | 'building' | 'sustained' | 'spent';

/**
 * Stab: a sustained thrust of a blade that has been quiet for a while, then an impact before the blade swings.
 *
 * A sample is *quiet* where speed <= quietDps, and *thrusts* where it is quiet and thrust >= thrustG (NaN in either: it
 * does not).
 *
 * - A thrust begins at the first thrusting sample n0. Where fewer than Q samples before n0 (quietBeforeMs in samples,
 *   rounded up) were quiet without a break, it is spent: the hand goes along with a swing as it starts, stops and turns
 *   back. What came before `reset` is not known, so not quiet.
 * - Otherwise idle -> building at n0; -> sustained at the first n with n - n0 >= S (sustainMs in samples, rounded up), so
 *   with S = 0 at n0 itself; a sample that does not thrust ends `building`.
 * - sustained -> idle at the first sample that does not thrust. An impact fires while sustained, and while at most
 *   W samples (windowMs, rounded up) lie since the last sustained one; a sample with speed > untilHitDps, the impact's
 *   own included, ends the wait.
 * - A second thrust may build up while the first still waits; the first loses nothing by it.
 * - A fire uses the thrust up: after one in the middle of a thrust (spent), that thrust has to end before another
 *   can build.
 * - After `reset` (start, gap): idle.
 */
export class StabDetector {
  private readonly thrustG: number;
  private readonly quietDps: number;
  private readonly untilHitDps: number;
  private readonly sustainSamples: number;
  private readonly quietSamples: number;
  private readonly windowSamples: number;
  private phase: Phase = 'idle';
  /** Samples since the one at which the thrust under way began. */
  private built = 0;
  /** Quiet samples without a break just before this one. */
  private quietFor = 0;
  /** Samples from now on in which an impact still fires, this one included. */
  private windowLeft = 0;

  /** @throws RangeError  on a setting out of bounds. */
  constructor(settings: StabSettings, rateHz: number) {
    const { thrustG, sustainMs, quietDps, quietBeforeMs, windowMs, untilHitDps } = settings;
    for (const [name, value] of Object.entries({ thrustG, quietDps, untilHitDps })) {
      if (!(value > 0)) throw new RangeError(`stab.${name} must be above 0, got ${value}`);
    }
    for (const [name, value] of Object.entries({ sustainMs, quietBeforeMs, windowMs })) {
      if (!(value >= 0 && value < Infinity)) {
        throw new RangeError(`stab.${name} must be 0 or more, got ${value}`);
      }
    }
    this.thrustG = thrustG;
    this.quietDps = quietDps;
    this.untilHitDps = untilHitDps;
    this.sustainSamples = samplesFromMs(sustainMs, rateHz);
    this.quietSamples = samplesFromMs(quietBeforeMs, rateHz);
    this.windowSamples = samplesFromMs(windowMs, rateHz);
  }

  /** True where it fires: at the impact's sample. */
  step(thrustG: number, speedDps: number, isImpact: boolean): boolean {
    if (this.windowLeft > 0) --this.windowLeft;
    const isQuiet = speedDps <= this.quietDps;
    if (isQuiet && thrustG >= this.thrustG) this.thrust();
    else this.phase = 'idle';
    if (speedDps > this.untilHitDps) this.windowLeft = 0;
    this.quietFor = isQuiet ? this.quietFor + 1 : 0;
    if (!isImpact || this.windowLeft === 0) return false;
    this.windowLeft = 0;
    if (this.phase === 'sustained') this.phase = 'spent';
    return true;
  }

  /** Whether all that went before is forgotten but how long the blade was quiet: it would go on in the same way after a reset that knows of that. */
  get isAsReset(): boolean {
    return this.phase === 'idle' && this.windowLeft === 0;
  }

  /** @param quietFor  how many quiet samples are known to have gone before, without a break. */
  reset(quietFor = 0): void {
    this.phase = 'idle';
    this.quietFor = quietFor;
    this.windowLeft = 0;
  }

  private thrust(): void {
    if (this.phase === 'spent') return;
    const isUnderWay = this.phase === 'building' || this.phase === 'sustained';
    if (!isUnderWay && this.quietFor < this.quietSamples) {
      this.phase = 'spent';
      return;
    }
    this.built = isUnderWay ? this.built + 1 : 0;
    this.phase = this.built >= this.sustainSamples ? 'sustained' : 'building';
    if (this.phase === 'sustained') this.windowLeft = this.windowSamples + 1;
  }
}

/** Indices of the samples where a stab fires: those of the hits that end them. */
export function runStab(
  signals: Signals,
  settings: StabSettings,
  impactSettings: ImpactSettings,
): Int32Array {
  const stab = new StabDetector(settings, signals.rateHz);
  const impact = new ImpactDetector(stabHitSettings(settings, impactSettings), signals.rateHz);
  const { thrustG, impactG, swingSpeedDps } = signals;
  const fires: number[] = [];
  for (const { start, end } of signals.segments) {
    stab.reset();
    impact.reset();
    for (let i = start; i < end; ++i) {
      const isImpact = impact.step(impactG[i]!, swingSpeedDps[i]!);
      if (stab.step(thrustG[i]!, swingSpeedDps[i]!, isImpact)) fires.push(i);
    }
  }
  return Int32Array.from(fires);
}

/** How the hit that ends a stab is told. */
export function stabHitSettings({ hitRatio }: StabSettings, impact: ImpactSettings): ImpactSettings {
  return { ...impact, impactG: hitRatio * impact.impactG };
}

type Groups = { readonly stab: StabSettings; readonly impact: ImpactSettings };

export const STAB = {
  title: 'Stab',
  name: 'Stab',
  settings: STAB_SETTINGS,
  restsOn: ['stab', 'impact'],
  gesture: 'thrust',
  names: { one: 'thrust', several: 'thrusts', fire: 'stab', fires: 'stabs' },
  scored: 'Thrusts stabbed',
  run: (signals: Signals, { stab, impact }: Groups) => runStab(signals, stab, impact),
  level: ({ thrustG }, at, { stab }: Groups) => {
    return { reached: mostWithin(at, thrustG), asked: stab.thrustG };
  },
  factsOf: (_signals: Signals, _index: number, { stab, impact }: Groups) => {
    return { ...stab, hitG: stabHitSettings(stab, impact).impactG };
  },
} as const satisfies GestureDetector<Groups>;
