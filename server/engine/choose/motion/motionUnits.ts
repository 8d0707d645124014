import type { Segment, Span } from '../../base/log.ts';
import { indexAtOrBefore, segmentAt } from '../../base/timeBase.ts';
import type { LabelBy, Labels } from '../../labels/labels.ts';
import type { SpeedSignals } from '../../motion/signals.ts';
import { STOP_MS } from '../../score/waitAfterStop.ts';
import { firstAtOrAfter } from '../../statistics/sorted.ts';
import { SPIN_MAX_PAUSE_MS } from '../../truth/spans.ts';
import type { Truth } from '../../truth/truth.ts';

/**
 * What a take without a press holds to judge a guard by: spins, in which any press would be a stray one, and stops, after
 * which one would be wanted.
 */
export interface MotionUnits {
  readonly spins: readonly Span[];
  /** When the blade came to each stop, in time order. */
  readonly stopsUs: readonly number[];
  /** Whether a person, or a simulation, gave them; else all are proposed by the program. */
  readonly isConfirmed: boolean;
  /** Proposed and not counted: only confirmed ones are, once there is one. */
  readonly waiting: { readonly spins: number; readonly stops: number };
}

type Busy = Span & { readonly isGiven: boolean };

/** @param signals  for the time base: a stop needs its whole second inside one segment. */
export function motionUnits(
  { swings, spinning }: Pick<Truth, 'swings' | 'spinning'>,
  labels: Pick<Labels, 'spans'>,
  signals: Pick<SpeedSignals, 'timeUs' | 'segments'>,
): MotionUnits {
  const areGiven = labels.spans.some(({ kind, by }) => kind === 'spinning' && isGiven(by));
  const busy: Busy[] = [
    ...swings.map(({ startUs, endUs, by }) => ({ startUs, endUs, isGiven: isGiven(by) })),
    ...spinning.map(({ startUs, endUs }) => ({ startUs, endUs, isGiven: areGiven })),
  ];
  const stops = findStops(busy, signals);
  const given = stops.filter((stop) => stop.isGiven);
  if (!areGiven && given.length === 0)
    return {
      spins: spinning,
      stopsUs: stops.map(({ stopUs }) => stopUs),
      isConfirmed: false,
      waiting: { spins: spinning.length, stops: stops.length },
    };
  return {
    spins: areGiven ? spinning : [],
    stopsUs: given.map(({ stopUs }) => stopUs),
    isConfirmed: true,
    waiting: { spins: areGiven ? 0 : spinning.length, stops: stops.length - given.length },
  };
}

function isGiven(by: LabelBy): boolean {
  return by !== 'program';
}

interface Stop {
  readonly stopUs: number;
  /** A spin or swing ends here that somebody gave. */
  readonly isGiven: boolean;
}

/** A stop is the end of a swing or spin, if no other begins within STOP_MS. */
function findStops(busy: readonly Busy[], signals: Pick<SpeedSignals, 'timeUs' | 'segments'>): Stop[] {
  const stops: Stop[] = [];
  let stopUs = -Infinity;
  let givenUs = -Infinity;
  const close = (nextUs: number) => {
    if (nextUs - stopUs < STOP_MS * 1000 || secondAfter(signals, stopUs) === null) return;
    stops.push({ stopUs, isGiven: stopUs - givenUs <= SPIN_MAX_PAUSE_MS * 1000 });
  };
  for (const span of [...busy].sort((a, b) => a.startUs - b.startUs)) {
    if (span.startUs > stopUs) close(span.startUs);
    stopUs = Math.max(stopUs, span.endUs);
    if (span.isGiven) givenUs = Math.max(givenUs, span.endUs);
  }
  close(Infinity);
  return stops;
}

/** The samples of the second after a stop; null unless all of it lies inside one segment. */
export function secondAfter(
  { timeUs, segments }: Pick<SpeedSignals, 'timeUs' | 'segments'>,
  stopUs: number,
): Segment | null {
  const at = indexAtOrBefore(timeUs, stopUs);
  if (at < 0) return null;
  const end = firstAtOrAfter(timeUs, stopUs + STOP_MS * 1000);
  return end < segmentAt(segments, at).end ? { start: at, end } : null;
}
