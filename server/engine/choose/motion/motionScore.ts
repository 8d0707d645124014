import type { Span } from '../../base/log.ts';
import { sampleRanges } from '../../base/sampleRanges.ts';
import { type ClosedSamples, countClosed, lastClosedIn } from '../../detect/closedRuns.ts';
import type { SpeedSignals } from '../../motion/signals.ts';
import { clopperPearsonInterval } from '../../statistics/clopperPearson.ts';
import { firstAtOrAfter, type Spread, spreadOf } from '../../statistics/sorted.ts';
import type { Interval } from '../../statistics/wilson.ts';
import { isOpenSpin } from './motionSweep.ts';
import { type MotionUnits, secondAfter } from './motionUnits.ts';

/** How one guard does in one spin. */
interface SpinOutcome {
  readonly startUs: number;
  /** Part of its samples at which the guard is open. */
  readonly openShare: number;
  readonly isOpen: boolean;
}

/** How one guard does after one stop. */
interface StopOutcome {
  readonly stopUs: number;
  /** From the stop to when the guard is open for the rest of the second; null where it is closed at the second's end. */
  readonly waitMs: number | null;
  /** Whether it is closed at any sample from the patience on. */
  readonly isLate: boolean;
}

/** k of n went wrong, with an exact interval that holds in at least 95 of 100; null where n = 0. */
export interface UnitCount {
  readonly k: number;
  readonly n: number;
  readonly interval: Interval | null;
}

/** What one guard would do to presses that might have come. */
export interface MotionScore {
  readonly patienceMs: number;
  readonly isConfirmed: boolean;
  readonly spinsOpen: UnitCount;
  readonly openShare: Spread | null;
  /** The spin in which the guard is open for the largest part; null where there is none. */
  readonly worst: SpinOutcome | null;
  readonly stopsLate: UnitCount;
  /** Over the stops after which the guard opens within the second. */
  readonly waitMs: Spread | null;
}

/** @param closed  as `runGuard` or `findClosedRuns` gives it for the same signals. */
export function scoreMotion(
  signals: SpeedSignals,
  closed: ClosedSamples,
  units: MotionUnits,
  patienceMs: number,
): MotionScore {
  const spins = judgeSpins(signals, closed, units.spins);
  const stops = judgeStops(signals, closed, units.stopsUs, patienceMs);
  const worst = spins.reduce<SpinOutcome | null>(
    (most, spin) => (most !== null && most.openShare >= spin.openShare ? most : spin),
    null,
  );
  return {
    patienceMs,
    isConfirmed: units.isConfirmed,
    spinsOpen: counted(spins.map(({ isOpen }) => isOpen)),
    openShare: spreadOf(spins.map(({ openShare }) => openShare)),
    worst,
    stopsLate: counted(stops.map(({ isLate }) => isLate)),
    waitMs: spreadOf(stops.flatMap(({ waitMs }) => waitMs ?? [])),
  };
}

export function judgeSpins(
  signals: SpeedSignals,
  closed: ClosedSamples,
  spins: readonly Span[],
): SpinOutcome[] {
  return sampleRanges(signals.timeUs, spins).map(({ start, end }) => {
    const total = end - start;
    const open = total - countClosed(closed, start, end);
    return { startUs: signals.timeUs[start]!, openShare: open / total, isOpen: isOpenSpin(open, total) };
  });
}

/** A stop without its whole second in the data is left out. */
export function judgeStops(
  signals: SpeedSignals,
  closed: ClosedSamples,
  stopsUs: readonly number[],
  patienceMs: number,
): StopOutcome[] {
  const { timeUs } = signals;
  return stopsUs.flatMap((stopUs) => {
    const second = secondAfter(signals, stopUs);
    if (second === null) return [];
    const { start, end } = second;
    const wantedFrom = firstAtOrAfter(timeUs, stopUs + patienceMs * 1000);
    if (wantedFrom >= end) return [];
    const lastClosed = lastClosedIn(closed, start, end);
    const isLate = lastClosed >= wantedFrom;
    if (lastClosed < 0) return { stopUs, waitMs: 0, isLate };
    const waitMs = lastClosed + 1 < end ? (timeUs[lastClosed + 1]! - stopUs) / 1000 : null;
    return { stopUs, waitMs, isLate };
  });
}

function counted(wrong: readonly boolean[]): UnitCount {
  const k = wrong.filter(Boolean).length;
  return { k, n: wrong.length, interval: clopperPearsonInterval(k, wrong.length) };
}
