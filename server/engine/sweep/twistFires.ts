import type { TwistSettings } from '../candidate.ts';
import { SlidingExtreme, TwistTrigger } from '../detect/twistTrigger.ts';
import type { Signals } from '../motion/signals.ts';
import { samplesFromMs } from '../sampleCount.ts';

/**
 * Twists at many angles. One pass finds how far the blade has turned at each sample within the window, as if there had
 * been no fire: no angle fires where that is less. Only behind a fire, whose window starts anew, does an angle need a
 * window of its own, and only until the window holds no sample from before the fire.
 * @param anglesDeg  rising. @param settings  the settings besides `angleDeg`.
 * @returns for each angle the indices of its fires, as `runTwistTrigger` gives them.
 * @throws RangeError  on a setting out of bounds.
 */
export function sweepTwists(
  signals: Signals,
  anglesDeg: Float64Array,
  settings: TwistSettings,
): readonly (readonly number[])[] {
  // Its constructor knows the bounds of every setting; the least angle stands for all.
  new TwistTrigger({ ...settings, angleDeg: anglesDeg[0]! }, signals.rateHz);
  const windowSamples = samplesFromMs(settings.windowMs, signals.rateHz);
  const turns = findTurns(signals, settings.quietDps, windowSamples, anglesDeg[0]!);
  const own = new TurnWindow(windowSamples);
  return Array.from(anglesDeg, (angleDeg) => firesOf(signals.twistDeg, turns, angleDeg, windowSamples, own));
}

/** How far the blade has turned within the window, at the samples where that is the least angle or more. */
interface Turns {
  readonly index: Int32Array;
  readonly turnedDeg: Float64Array;
  /** One past the last sample up to which no loud sample, no gap and no new start empties the window. */
  readonly runEnd: Int32Array;
}

function findTurns(
  { twistDeg, twistStarts, swingSpeedDps, segments }: Signals,
  quietDps: number,
  windowSamples: number,
  leastDeg: number,
): Turns {
  const index: number[] = [];
  const turned: number[] = [];
  const runEnd: number[] = [];
  const window = new TurnWindow(windowSamples);
  const closeRun = (end: number): void => {
    window.reset();
    while (runEnd.length < index.length) runEnd.push(end);
  };
  for (const { start, end } of segments) {
    for (let i = start; i < end; ++i) {
      if (twistStarts[i] === 1) closeRun(i);
      if (!(swingSpeedDps[i]! <= quietDps) || Number.isNaN(twistDeg[i]!)) {
        closeRun(i);
        continue;
      }
      const deg = window.step(twistDeg[i]!);
      if (deg < leastDeg) continue;
      index.push(i);
      turned.push(deg);
    }
    closeRun(end);
  }
  return {
    index: Int32Array.from(index),
    turnedDeg: Float64Array.from(turned),
    runEnd: Int32Array.from(runEnd),
  };
}

function firesOf(
  twistDeg: Float64Array,
  { index, turnedDeg, runEnd }: Turns,
  angleDeg: number,
  windowSamples: number,
  own: TurnWindow,
): number[] {
  const fires: number[] = [];
  for (let k = 0; k < index.length; ++k) {
    if (turnedDeg[k]! < angleDeg) continue;
    let fired = index[k]!;
    fires.push(fired);
    own.reset();
    own.step(twistDeg[fired]!);
    let i = fired + 1;
    for (; i < runEnd[k]! && i - fired <= windowSamples; ++i) {
      if (own.step(twistDeg[i]!) < angleDeg) continue;
      fired = i;
      fires.push(fired);
      own.reset();
      own.step(twistDeg[fired]!);
    }
    while (k + 1 < index.length && index[k + 1]! < i) ++k;
  }
  return fires;
}

/** The most by which the present angle differs from one within the window, this sample and those before. */
class TurnWindow {
  private readonly lowest: SlidingExtreme;
  private readonly highest: SlidingExtreme;

  constructor(windowSamples: number) {
    this.lowest = new SlidingExtreme(windowSamples);
    this.highest = new SlidingExtreme(windowSamples);
  }

  step(twistDeg: number): number {
    const belowHighest = -(this.highest.step(-twistDeg) + twistDeg);
    const aboveLowest = twistDeg - this.lowest.step(twistDeg);
    return Math.max(belowHighest, aboveLowest);
  }

  reset(): void {
    this.lowest.reset();
    this.highest.reset();
  }
}
