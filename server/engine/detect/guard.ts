import type { Span } from '../base/log.ts';
import { samplesFromMs } from '../base/sampleCount.ts';
import { choice, number, type ValuesOf } from '../base/setting.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import type { Detector } from './detector.ts';

const GUARD_SETTINGS = {
  speedDps: number(
    { byDefault: 240, min: 5, max: 4000, sliderMax: 1000, step: 1, unit: '°/s' },
    'Swing speed',
    'Guard closes at a swing speed of',
  ),
  holdMs: number(
    { byDefault: 0, min: 0, max: 5000, sliderMax: 600, step: 1, unit: 'ms' },
    'Hold after swing',
    'Guard stays closed afterwards for',
  ),
  /** Below 1 the guard opens only below releaseRatio * speedDps. */
  releaseRatio: number(
    { byDefault: 1, min: 0.05, max: 1, sliderMax: 1, step: 0.01, unit: '' },
    'Opens below',
    'Guard opens below this part of its speed',
    { partOf: 'guard.speedDps' },
  ),
  decideAt: choice(
    'press',
    [
      ['press', 'it goes down'],
      ['release', 'it is let go'],
      ['held', 'it goes down or is held'],
    ],
    'Button acts when',
    'The power button acts when',
  ),
  /** A press that the guard refuses acts once it opens, while the button is still down and no later than this. */
  heldLimitMs: number(
    { byDefault: 1000, min: 0, max: 10_000, sliderMax: 3000, step: 10, unit: 'ms' },
    'Held at most',
    'A held power button acts within',
    { growth: { since: 3, before: 1000 }, onlyWith: { path: 'guard.decideAt', values: ['held'] } },
  ),
  pressLength: choice(
    'any',
    [
      ['any', 'any'],
      ['short', 'short'],
      ['long', 'long'],
    ],
    'Presses that count',
    'The power button answers to presses that are',
    { growth: { since: 3, before: 'any' } },
  ),
  longFromMs: number(
    { byDefault: 500, min: 50, max: 5000, sliderMax: 2000, step: 10, unit: 'ms' },
    'Long from',
    'A press is long from',
    { growth: { since: 3, before: 500 }, onlyWith: { path: 'guard.pressLength', values: ['short', 'long'] } },
  ),
  debounceMs: number(
    { byDefault: 0, min: 0, max: 500, sliderMax: 100, step: 1, unit: 'ms' },
    'Debounce',
    'Presses are one if the button is up for less than',
    { growth: { since: 3, before: 0 } },
  ),
};

export type GuardSettings = ValuesOf<typeof GUARD_SETTINGS>;

/**
 * Swing-guarded power-off: says, sample by sample, whether a power press would be refused. Three phases, held in two
 * numbers: high (levelDps is the release speed), holding (it is not, but samplesLeft > 0), open (neither).
 *
 * - high: from the first sample with speed >= speedDps until the first with speed < releaseRatio * speedDps. In
 *   between, speed keeps the phase that it had.
 * - holding: closed still while fewer than H samples lie since the last high one, H = holdMs in samples, rounded up.
 *   So the guard stays closed through a dip (last high sample to next high one) of D samples if and only if H >= D.
 *   H = 0 acts as 1: the plain momentary check.
 * - NaN is at or above nothing: it ends `high` and counts as time.
 * - After `reset` (start, gap): open, with nothing known of earlier swings.
 */
export class GuardDetector {
  private readonly speedDps: number;
  private readonly releaseDps: number;
  private readonly holdSamples: number;
  /** The border that applies to the next sample: releaseDps while high, speedDps otherwise. */
  private levelDps: number;
  /** Samples for which it stays closed, the present one included; 0 is open. */
  private samplesLeft = 0;

  /** @throws RangeError  on a setting out of bounds. */
  constructor(settings: GuardSettings, rateHz: number) {
    const { speedDps, holdMs, releaseRatio } = settings;
    if (!(speedDps > 0)) throw new RangeError(`guard.speedDps must be above 0, got ${speedDps}`);
    if (!(holdMs >= 0 && holdMs < Infinity))
      throw new RangeError(`guard.holdMs must be 0 or more, got ${holdMs}`);
    if (!(releaseRatio > 0 && releaseRatio <= 1)) {
      throw new RangeError(`guard.releaseRatio must be in (0, 1], got ${releaseRatio}`);
    }
    this.speedDps = speedDps;
    this.releaseDps = releaseRatio * speedDps;
    this.holdSamples = guardReachSamples(holdMs, rateHz);
    this.levelDps = speedDps;
  }

  /** True while closed. */
  step(speedDps: number): boolean {
    if (speedDps >= this.levelDps) {
      this.levelDps = this.releaseDps;
      this.samplesLeft = this.holdSamples;
      return true;
    }
    this.levelDps = this.speedDps;
    if (this.samplesLeft > 0) --this.samplesLeft;
    return this.samplesLeft > 0;
  }

  reset(): void {
    this.levelDps = this.speedDps;
    this.samplesLeft = 0;
  }
}

/** For how many samples a guard is closed from its last high sample on, that one included: at least 1. */
export function guardReachSamples(holdMs: number, rateHz: number): number {
  return Math.max(1, samplesFromMs(holdMs, rateHz));
}

/** 1 at each sample where the guard is closed. `out` (as long as the signals) is filled and returned. */
export function runGuard(
  signals: SpeedSignals,
  settings: GuardSettings,
  out: Uint8Array = new Uint8Array(signals.timeUs.length),
): Uint8Array {
  const guard = new GuardDetector(settings, signals.rateHz);
  const speed = signals.swingSpeedDps;
  for (const { start, end } of signals.segments) {
    guard.reset();
    for (let i = start; i < end; ++i) out[i] = guard.step(speed[i]!) ? 1 : 0;
  }
  return out;
}

/**
 * The stretches of closed samples in time order, none across a gap. A span runs from its first closed sample to the
 * first open one, or, at a segment's end, to one step past the last sample.
 */
export function closedSpans(signals: SpeedSignals, closed: Uint8Array): Span[] {
  const { timeUs, rateHz } = signals;
  const stepUs = 1e6 / rateHz;
  const spans: Span[] = [];
  for (const { start, end } of signals.segments) {
    let from = -1;
    for (let i = start; i <= end; ++i) {
      const isClosed = i < end && closed[i] === 1;
      if (isClosed && from < 0) from = i;
      if (isClosed || from < 0) continue;
      const endUs = i < end ? timeUs[i]! : timeUs[end - 1]! + Math.round(stepUs);
      spans.push({ startUs: timeUs[from]!, endUs });
      from = -1;
    }
  }
  return spans;
}

export const GUARD = {
  title: 'Power-off guard',
  name: 'Guard',
  settings: GUARD_SETTINGS,
} as const satisfies Detector;
