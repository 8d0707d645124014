import type { Segment } from '../../base/log.ts';
import { sampleRanges } from '../../base/sampleRanges.ts';
import type { SpeedSignals } from '../../motion/signals.ts';
import { firstAtOrAfter } from '../../statistics/sorted.ts';
import { holdTails } from '../../sweep/holdBins.ts';
import { OpenSweep } from '../../sweep/openSweep.ts';
import { ThresholdWalk } from '../../sweep/thresholdWalk.ts';
import { CLAIMED_SHARE } from '../claim.ts';
import { type MotionUnits, secondAfter } from './motionUnits.ts';
import { StopSweep, type StopWindow } from './stopSweep.ts';

/**
 * How many spins and stops go wrong over a grid: the cell of speed s and hold h stands at s * holds + h.
 *
 * A stray press may come at any moment of a spin: one goes wrong if the guard is open for more than 1 in 20 of its
 * samples (`CLAIMED_SHARE`, the same that is asked of presses). A wanted press may come at any moment from the patience
 * after a stop on: one goes wrong if the guard is closed at any sample from there to the end of the second that makes
 * the stop.
 */
interface MotionSweep {
  readonly spins: number;
  readonly stops: number;
  readonly spinsOpen: Int32Array;
  readonly stopsLate: Int32Array;
}

export function sweepMotion(args: {
  readonly signals: SpeedSignals;
  readonly units: Pick<MotionUnits, 'spins' | 'stopsUs'>;
  readonly patienceMs: number;
  readonly releaseRatio: number;
  readonly speedsDps: Float64Array;
  readonly holdsMs: Float64Array;
}): MotionSweep {
  const { signals, speedsDps } = args;
  const tails = holdTails(args.holdsMs, signals.rateHz);
  const spins = sampleRanges(signals.timeUs, args.units.spins);
  const open = spins.map((range) => new OpenSweep([range], speedsDps.length, tails));
  const windows = stopWindows(signals, args.units.stopsUs, args.patienceMs);
  const stops = new StopSweep(windows, speedsDps.length, tails);
  walkAll(signals, new ThresholdWalk(speedsDps, args.releaseRatio), [...open, stops]);
  const cells = speedsDps.length * tails.length;
  const spinsOpen = new Int32Array(cells);
  const stopsLate = new Int32Array(cells);
  for (let t = 0, cell = 0; t < speedsDps.length; ++t) {
    for (let hold = 0; hold < tails.length; ++hold, ++cell) {
      for (const one of open) if (isOpenSpin(one.total - one.closed(t, hold), one.total)) ++spinsOpen[cell]!;
      stopsLate[cell] = stops.late(t, hold);
    }
  }
  return { spins: spins.length, stops: windows.length, spinsOpen, stopsLate };
}

/** Whether so many open samples of a spin's are too many. */
export function isOpenSpin(open: number, total: number): boolean {
  return open > CLAIMED_SHARE * total;
}

/** Where presses are wanted after stops; a stop without its whole second in the data gives none. */
function stopWindows(signals: SpeedSignals, stopsUs: readonly number[], patienceMs: number): StopWindow[] {
  return stopsUs.flatMap((stopUs) => {
    const second = secondAfter(signals, stopUs);
    if (second === null) return [];
    const start = firstAtOrAfter(signals.timeUs, stopUs + patienceMs * 1000);
    return start < second.end ? [{ start, end: second.end }] : [];
  });
}

type Watcher = Pick<OpenSweep, 'rise' | 'fall' | 'finish'>;

function walkAll(signals: SpeedSignals, walk: ThresholdWalk, watchers: readonly Watcher[]): void {
  const events = {
    rise(t: number, i: number, last: number): void {
      for (const watcher of watchers) watcher.rise(t, i, last);
    },
    fall(t: number, i: number): void {
      for (const watcher of watchers) watcher.fall(t, i);
    },
  };
  for (const { start, end } of signals.segments satisfies readonly Segment[]) {
    walk.reset();
    walk.walk(signals.swingSpeedDps, start, end, events);
    for (let t = 0; t < walk.lastHigh.length; ++t)
      for (const watcher of watchers) watcher.finish(t, t < walk.highCount, walk.lastHigh[t]!, end);
  }
}
