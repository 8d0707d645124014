import type { Press, Segment } from '../base/log.ts';
import { samplesFromMs } from '../base/sampleCount.ts';
import { segmentAt } from '../base/timeBase.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import { firstAtOrAfter } from '../statistics/sorted.ts';

/** What of a deflection's settings is about its button. */
export interface SwitchRule {
  readonly switchedOn: 'always' | 'held';
  readonly debounceMs: number;
}

/**
 * Whether deflections are on, a sample at a time, where they are on while a button is held: from the sample at which it is
 * down until it has been up for the debounce, so that a button that bounces as it is let go, or while it is held, switches
 * nothing off. Going on is never delayed. After `reset` (start, gap): on if the button is down.
 */
export class DeflectionButton {
  private readonly debounceSamples: number;
  /** Samples for which it is still on with the button up. */
  private samplesLeft = 0;

  /** @throws RangeError  on a setting out of bounds. */
  constructor(rule: Pick<SwitchRule, 'debounceMs'>, rateHz: number) {
    this.debounceSamples = debounceSamplesOf(rule, rateHz);
  }

  /** True while deflections are on. */
  step(isDown: boolean): boolean {
    if (isDown) this.samplesLeft = this.debounceSamples;
    else if (this.samplesLeft === 0) return false;
    else --this.samplesLeft;
    return true;
  }

  reset(): void {
    this.samplesLeft = 0;
  }
}

type Pressed = Pick<SpeedSignals, 'timeUs' | 'segments' | 'rateHz' | 'deflectionPresses'>;

/**
 * The stretches of samples at which deflections are on, in time order, none across a gap and none touching another inside
 * one; 'unknown' where nobody knows when the button was held.
 * @throws RangeError  on a setting out of bounds.
 */
export function stretchesOn(signals: Pressed, settings: SwitchRule): readonly Segment[] | 'unknown' {
  const { timeUs, segments, rateHz } = signals;
  const debounceSamples = debounceSamplesOf(settings, rateHz);
  if (settings.switchedOn === 'always') return segments;
  const presses = signals.deflectionPresses ?? null;
  if (presses === null || !tellsReleases(presses)) return 'unknown';
  const stretches: { start: number; end: number }[] = [];
  for (const { downUs, upUs } of presses) {
    const up = upUs === null ? timeUs.length : firstAtOrAfter(timeUs, upUs);
    for (let start = firstAtOrAfter(timeUs, downUs); start < up; ) {
      const segment = segmentAt(segments, start);
      const upHere = Math.min(up, segment.end);
      const end = Math.min(segment.end, upHere + debounceSamples);
      const last = stretches.at(-1);
      if (last && last.end > segment.start && start <= last.end) last.end = Math.max(last.end, end);
      else stretches.push({ start, end });
      start = upHere;
    }
  }
  return stretches;
}

/** When deflections are on: at every sample, at those with 1, or nobody knows when. */
export type SwitchedOn = 'always' | Uint8Array | 'unknown';

/** The same sample by sample. @throws RangeError  on a setting out of bounds. */
export function whenSwitchedOn(signals: Pressed, settings: SwitchRule): SwitchedOn {
  const stretches = stretchesOn(signals, settings);
  if (settings.switchedOn === 'always') return 'always';
  if (stretches === 'unknown') return stretches;
  const on = new Uint8Array(signals.timeUs.length);
  for (const { start, end } of stretches) on.fill(1, start, end);
  return on;
}

/** Whether it is known how long each press was held: the last may go on to the end in a log that tells of other releases. */
function tellsReleases(presses: readonly Press[]): boolean {
  if (presses.length === 0) return true;
  return presses.slice(0, -1).every(({ upUs }) => upUs !== null) && presses[0]!.upUs !== null;
}

/** The button has to be up for so many samples. */
function debounceSamplesOf({ debounceMs }: Pick<SwitchRule, 'debounceMs'>, rateHz: number): number {
  if (!(debounceMs >= 0 && debounceMs < Infinity))
    throw new RangeError(`deflection.debounceMs must be 0 or more, got ${debounceMs}`);
  return samplesFromMs(debounceMs, rateHz);
}
