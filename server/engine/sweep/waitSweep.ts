import type { SpeedSignals } from '../motion/signals.ts';
import { stopQuietSamples } from '../score/waitAfterStop.ts';
import { firstHoldCovering } from './holdBins.ts';
import { ThresholdWalk } from './thresholdWalk.ts';

/**
 * Waits after stops, for every threshold and hold. The stops of a threshold come from the true speed; each then waits
 * for the first gap between two high runs of the causal speed that outlasts the hold, and the second after the stop. A
 * longer hold never opens sooner, so every stop keeps one place up to which its holds have opened.
 */
export class WaitSweep {
  /** At the threshold that has most of them. */
  readonly mostStops: number;
  private readonly tails: Int32Array;
  private readonly quietSamples: number;
  private readonly stops: readonly (readonly number[])[];
  /** By threshold, in fours: what one gap opened. */
  private readonly openings: readonly number[][];
  private readonly opened: readonly Int32Array[];
  private readonly firstPending: Int32Array;
  /** By stop, at one threshold and hold: samples waited, 0 where the guard did not open. */
  private readonly waits: Int32Array;
  private readonly sorted: Int32Array;
  private readonly order: Int32Array;
  private orderedFor = -1;

  constructor(signals: SpeedSignals, speedsDps: Float64Array, tails: Int32Array) {
    this.tails = tails;
    this.quietSamples = stopQuietSamples(signals.rateHz);
    this.stops = findStops(signals, speedsDps);
    this.openings = this.stops.map(() => []);
    this.opened = this.stops.map((stops) => new Int32Array(stops.length));
    this.firstPending = new Int32Array(speedsDps.length);
    this.mostStops = this.stops.reduce((most, stops) => Math.max(most, stops.length), 0);
    this.waits = new Int32Array(this.mostStops);
    this.sorted = new Int32Array(this.mostStops);
    this.order = new Int32Array(this.mostStops);
  }

  /** The samples after `last` (-1: all so far) and before `next` are not high at threshold t. */
  gap(t: number, last: number, next: number): void {
    const stops = this.stops[t]!;
    for (let s = this.firstPending[t]!; s < stops.length && stops[s]! + 1 < next; ++s) {
      this.open(t, s, last, next);
      if (s === this.firstPending[t] && this.opened[t]![s] === this.tails.length) ++this.firstPending[t]!;
    }
  }

  /** The segment ends before sample `end`: stops before it wait no longer. */
  dropBefore(t: number, end: number): void {
    const stops = this.stops[t]!;
    while (this.firstPending[t]! < stops.length && stops[this.firstPending[t]!]! < end)
      ++this.firstPending[t]!;
  }

  /** Waits after the stops at which the guard opened, in samples, rising. The array is overwritten by the next call. */
  waited(t: number, hold: number): Int32Array {
    const stops = this.stops[t]!.length;
    const { sorted, order, waits } = this;
    this.findWaits(t, hold);
    if (hold === 0 || this.orderedFor !== t) for (let k = 0; k < stops; ++k) order[k] = k;
    this.orderedFor = t;
    // The next hold shifts most waits alike: the order of the last one is all but right.
    for (let k = 0; k < stops; ++k) {
      const stop = order[k]!;
      const wait = waits[stop]!;
      let to = k;
      for (; to > 0 && sorted[to - 1]! > wait; --to) {
        sorted[to] = sorted[to - 1]!;
        order[to] = order[to - 1]!;
      }
      sorted[to] = wait;
      order[to] = stop;
    }
    let unopened = 0;
    while (unopened < stops && sorted[unopened] === 0) ++unopened;
    return sorted.subarray(unopened, stops);
  }

  private open(t: number, s: number, last: number, next: number): void {
    if (next <= this.stops[t]![s]! + this.quietSamples) return;
    const opened = this.opened[t]!;
    const end = last < 0 ? this.tails.length : firstHoldCovering(this.tails, next - last - 1);
    if (end <= opened[s]!) return;
    this.openings[t]!.push(s, opened[s]!, end, last);
    opened[s] = end;
  }

  /** How long each stop waits with one hold: for each opening, the stop, the holds that it opens (first, end), the gap's last sample before. */
  private findWaits(t: number, hold: number): void {
    const { waits } = this;
    const [stops, openings, tail] = [this.stops[t]!, this.openings[t]!, this.tails[hold]!];
    waits.fill(0, 0, stops.length);
    for (let k = 0; k < openings.length; k += 4) {
      if (hold < openings[k + 1]! || hold >= openings[k + 2]!) continue;
      const s = openings[k]!;
      const last = openings[k + 3]!;
      // A guard that was never closed is open at the first sample behind the stop.
      waits[s] = 1 + (last < 0 ? 0 : Math.max(0, last + tail - stops[s]!));
    }
  }
}

function findStops(signals: SpeedSignals, speedsDps: Float64Array): number[][] {
  const quietSamples = stopQuietSamples(signals.rateHz);
  const stops: number[][] = Array.from(speedsDps, () => []);
  const walk = new ThresholdWalk(speedsDps, 1);
  const note = (t: number, i: number, last: number) => {
    if (last >= 0 && i - last > quietSamples) stops[t]!.push(last);
  };
  for (const { start, end } of signals.segments) {
    walk.reset();
    walk.walk(signals.trueSpeedDps, start, end, { rise: note, fall: () => {} });
    for (let t = walk.highCount; t < speedsDps.length; ++t) note(t, end, walk.lastHigh[t]!);
  }
  return stops;
}
