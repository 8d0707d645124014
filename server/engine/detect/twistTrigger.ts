import type { Segment } from '../base/log.ts';
import { samplesFromMs } from '../base/sampleCount.ts';
import { choice, number, type ValuesOf } from '../base/setting.ts';
import type { Signals } from '../motion/signals.ts';
import type { GestureDetector } from './detector.ts';

/** Settings of the trigger and of the dial. */
const TWIST_SETTINGS = {
  angleDeg: number(
    { byDefault: 60, min: 1, max: 1080, sliderMax: 180, step: 1, unit: '°' },
    'Turn',
    'Twist fires at a turn of',
  ),
  windowMs: number(
    { byDefault: 600, min: 10, max: 5000, sliderMax: 2000, step: 10, unit: 'ms' },
    'Within',
    'Twist must happen within',
  ),
  quietDps: number(
    { byDefault: 120, min: 5, max: 4000, sliderMax: 600, step: 1, unit: '°/s' },
    'Swing at most',
    'Twist needs a swing speed of at most',
  ),
  degPerStep: number(
    { byDefault: 15, min: 1, max: 360, sliderMax: 90, step: 1, unit: '°' },
    'Dial step',
    'Dial: turn for one step',
  ),
  /** What sets the twist angle to zero. */
  startAt: choice(
    'rest',
    [
      ['takeStart', 'the take’s start'],
      ['rest', 'the last rest'],
      ['hold', 'a button going down'],
    ],
    'Counts from',
    'The twist angle counts from',
  ),
};

export type TwistSettings = ValuesOf<typeof TWIST_SETTINGS>;

/**
 * Twist as a trigger: fires where the twist angle differs by at least angleDeg from its value at some sample of the
 * last W (windowMs in samples, rounded up), with swing speed <= quietDps at that sample and at every one since.
 *
 * - After a fire the window starts anew with the firing sample: a twist that goes on fires again after another
 *   angleDeg.
 * - A sample with speed > quietDps or with NaN in either channel empties the window and never fires.
 * - The angle must run on without a jump; where it is set to zero, `reset` first.
 * - After `reset` (start, gap, a new start of the angle): empty window.
 */
export class TwistTrigger {
  private readonly angleDeg: number;
  private readonly quietDps: number;
  private readonly lowest: SlidingExtreme;
  private readonly highest: SlidingExtreme;

  /** @throws RangeError  on a setting out of bounds. */
  constructor(settings: TwistSettings, rateHz: number) {
    const { angleDeg, windowMs, quietDps } = settings;
    if (!(angleDeg > 0)) throw new RangeError(`twist.angleDeg must be above 0, got ${angleDeg}`);
    if (!(windowMs > 0 && windowMs < Infinity))
      throw new RangeError(`twist.windowMs must be above 0, got ${windowMs}`);
    if (!(quietDps > 0)) throw new RangeError(`twist.quietDps must be above 0, got ${quietDps}`);
    this.angleDeg = angleDeg;
    this.quietDps = quietDps;
    const windowSamples = samplesFromMs(windowMs, rateHz);
    this.lowest = new SlidingExtreme(windowSamples);
    this.highest = new SlidingExtreme(windowSamples);
  }

  /** True where it fires. */
  step(twistDeg: number, speedDps: number): boolean {
    if (!(speedDps <= this.quietDps) || Number.isNaN(twistDeg)) {
      this.reset();
      return false;
    }
    const fromHighest = this.highest.step(-twistDeg) + twistDeg;
    const fromLowest = this.lowest.step(twistDeg) - twistDeg;
    if (fromHighest > -this.angleDeg && fromLowest > -this.angleDeg) return false;
    this.reset();
    this.lowest.step(twistDeg);
    this.highest.step(-twistDeg);
    return true;
  }

  reset(): void {
    this.lowest.reset();
    this.highest.reset();
  }
}

/** Indices of the samples where the twist trigger fires. A start of the angle empties its window. */
export function runTwistTrigger(signals: Signals, settings: TwistSettings): Int32Array {
  const trigger = new TwistTrigger(settings, signals.rateHz);
  const { twistDeg, twistStarts, swingSpeedDps } = signals;
  const fires: number[] = [];
  for (const { start, end } of signals.segments) {
    trigger.reset();
    for (let i = start; i < end; ++i) {
      if (twistStarts[i] === 1) trigger.reset();
      if (trigger.step(twistDeg[i]!, swingSpeedDps[i]!)) fires.push(i);
    }
  }
  return Int32Array.from(fires);
}

/**
 * Minimum of a value over the current sample and the `windowSamples` before it: a queue of candidates, ever larger
 * towards the newest, in a ring that is allocated once.
 */
class SlidingExtreme {
  private readonly values: Float64Array;
  private readonly ages: Float64Array;
  private readonly windowSamples: number;
  private oldest = 0;
  private count = 0;
  private now = 0;

  constructor(windowSamples: number) {
    this.windowSamples = windowSamples;
    this.values = new Float64Array(windowSamples + 1);
    this.ages = new Float64Array(windowSamples + 1);
  }

  step(value: number): number {
    const { values, ages } = this;
    ++this.now;
    if (this.count > 0 && this.now - ages[this.oldest]! > this.windowSamples) {
      this.oldest = this.wrapped(this.oldest + 1);
      --this.count;
    }
    let next = this.wrapped(this.oldest + this.count);
    while (this.count > 0) {
      const newest = next === 0 ? values.length - 1 : next - 1;
      if (values[newest]! < value) break;
      next = newest;
      --this.count;
    }
    values[next] = value;
    ages[next] = this.now;
    ++this.count;
    return values[this.oldest]!;
  }

  private wrapped(place: number): number {
    return place >= this.values.length ? place - this.values.length : place;
  }

  reset(): void {
    this.count = 0;
  }
}

/** How far the blade is turned from its lowest to its highest angle, without regard to where the angle counts from. */
function turnDeg({ twistRateDps, rateHz }: Signals, { start, end }: Segment): number {
  let [angle, low, high] = [0, 0, 0];
  for (let i = start; i < end; ++i) {
    if (Number.isNaN(twistRateDps[i]!)) continue;
    angle += twistRateDps[i]! / rateHz;
    low = Math.min(low, angle);
    high = Math.max(high, angle);
  }
  return high - low;
}

type Groups = { readonly twist: TwistSettings };

export const TWIST = {
  title: 'Twist',
  name: 'Twist',
  settings: TWIST_SETTINGS,
  restsOn: ['twist'],
  gesture: 'twist',
  names: { one: 'twist', several: 'twists', fire: 'trigger', fires: 'triggers' },
  scored: 'Twists triggered',
  run: (signals: Signals, { twist }: Groups) => runTwistTrigger(signals, twist),
  level: (signals, at, { twist }: Groups) => {
    return { reached: turnDeg(signals, at), asked: twist.angleDeg };
  },
  factsOf: (_signals: Signals, _index: number, { twist }: Groups) => twist,
} as const satisfies GestureDetector<Groups>;
