import { samplesFromMs } from '../base/sampleCount.ts';
import { choice, number, type ValuesOf } from '../base/setting.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import { whenSwitchedOn } from './deflectionButton.ts';
import type { Detector } from './detector.ts';

const DEFLECTION_SETTINGS = {
  speedDps: number(
    { byDefault: 240, min: 5, max: 4000, sliderMax: 1000, step: 1, unit: '°/s' },
    'Swing speed',
    'Deflection fires at a swing speed of',
  ),
  rearmRatio: number(
    { byDefault: 0.6, min: 0.05, max: 1, sliderMax: 1, step: 0.01, unit: '' },
    'Re-arm below',
    'Deflection arms again below this part of its speed',
    { partOf: 'deflection.speedDps' },
  ),
  restMs: number(
    { byDefault: 180, min: 0, max: 5000, sliderMax: 600, step: 1, unit: 'ms' },
    'Rest between',
    'Shortest time between two deflections',
  ),
  confirmMs: number(
    { byDefault: 0, min: 0, max: 1000, sliderMax: 200, step: 1, unit: 'ms' },
    'Must last for',
    'Speed must last, before a deflection fires, for',
  ),
  switchedOn: choice(
    'always',
    [
      ['always', 'always'],
      ['held', 'with button held'],
    ],
    'Deflections are on',
    'Deflections are on',
    { growth: { since: 4, before: 'always' } },
  ),
  debounceMs: number(
    { byDefault: 0, min: 0, max: 500, sliderMax: 100, step: 1, unit: 'ms' },
    'Debounce',
    'Deflections go off once the button is up for',
    { growth: { since: 4, before: 0 }, onlyWith: { path: 'deflection.switchedOn', values: ['held'] } },
  ),
};

export type DeflectionSettings = ValuesOf<typeof DEFLECTION_SETTINGS>;

type Phase = 'armed' | 'confirming' | 'disarmed';

/**
 * Deflection: fires once per swing.
 *
 * - armed -> confirming at the first sample n0 with speed >= speedDps; back to armed at a sample that is not.
 * - confirming -> disarmed at the first sample n with n - n0 >= C (confirmMs in samples, rounded up): an onset. With
 *   C = 0 the sample n0 itself is the onset. It fires if at least R samples (restMs, rounded up) lie since the last
 *   fire; otherwise it is swallowed, and disarms all the same.
 * - disarmed -> armed at a sample with speed < rearmRatio * speedDps, whatever the button.
 * - While deflections are off (their button is up), no speed counts as reached: nothing is confirmed, fires or disarms. So
 *   both have to last for confirmMs together, in whichever order they begin: a swing that runs already as the button goes
 *   down fires then, unless it has fired before and the blade has not come down since; and letting go before the
 *   confirmation is over fires nothing. The rest between two goes on.
 * - NaN breaks a confirmation and arms nothing.
 * - After `reset` (start, gap): armed, with no fire before.
 */
export class DeflectionDetector {
  private readonly speedDps: number;
  private readonly rearmDps: number;
  private readonly restSamples: number;
  private readonly confirmSamples: number;
  private phase: Phase = 'armed';
  private confirmed = 0;
  private restLeft = 0;

  /** @throws RangeError  on a setting out of bounds. */
  constructor(settings: DeflectionSettings, rateHz: number) {
    const { speedDps, rearmRatio, restMs, confirmMs } = settings;
    if (!(speedDps > 0)) throw new RangeError(`deflection.speedDps must be above 0, got ${speedDps}`);
    if (!(rearmRatio > 0 && rearmRatio <= 1)) {
      throw new RangeError(`deflection.rearmRatio must be in (0, 1], got ${rearmRatio}`);
    }
    if (!(restMs >= 0 && restMs < Infinity))
      throw new RangeError(`deflection.restMs must be 0 or more, got ${restMs}`);
    if (!(confirmMs >= 0 && confirmMs < Infinity)) {
      throw new RangeError(`deflection.confirmMs must be 0 or more, got ${confirmMs}`);
    }
    this.speedDps = speedDps;
    this.rearmDps = rearmRatio * speedDps;
    this.restSamples = samplesFromMs(restMs, rateHz);
    this.confirmSamples = samplesFromMs(confirmMs, rateHz);
  }

  /** True where it fires. @param isOn  whether deflections are on at this sample */
  step(speedDps: number, isOn = true): boolean {
    if (this.restLeft > 0) --this.restLeft;
    if (this.phase === 'disarmed') {
      if (speedDps < this.rearmDps) this.phase = 'armed';
      return false;
    }
    if (!(isOn && speedDps >= this.speedDps)) {
      this.phase = 'armed';
      return false;
    }
    this.confirmed = this.phase === 'confirming' ? this.confirmed + 1 : 0;
    this.phase = 'confirming';
    return this.confirmed >= this.confirmSamples && this.onset();
  }

  /** Whether a speed that is reached now would count, be it for a fire or for one that is swallowed. */
  get isArmed(): boolean {
    return this.phase !== 'disarmed';
  }

  reset(): void {
    this.phase = 'armed';
    this.restLeft = 0;
  }

  private onset(): boolean {
    this.phase = 'disarmed';
    if (this.restLeft > 0) return false;
    this.restLeft = this.restSamples;
    return true;
  }
}

/** Indices of the samples where a deflection fires; null where nobody knows when its button was held. */
export function runDeflection(signals: SpeedSignals, settings: DeflectionSettings): Int32Array | null {
  const deflection = new DeflectionDetector(settings, signals.rateHz);
  const on = whenSwitchedOn(signals, settings);
  if (on === 'unknown') return null;
  const speed = signals.swingSpeedDps;
  const fires: number[] = [];
  for (const { start, end } of signals.segments) {
    deflection.reset();
    for (let i = start; i < end; ++i)
      if (deflection.step(speed[i]!, on === 'always' || on[i] === 1)) fires.push(i);
  }
  return Int32Array.from(fires);
}

export const DEFLECTION = {
  title: 'Swing deflection',
  name: 'Deflection',
  settings: DEFLECTION_SETTINGS,
} as const satisfies Detector;
