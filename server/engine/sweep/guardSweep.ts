import type { Press, Span } from '../base/log.ts';
import { sampleRanges } from '../base/sampleRanges.ts';
import { segmentAt } from '../base/timeBase.ts';
import { GuardDetector, type GuardSettings } from '../detect/guard.ts';
import { actWindows, judgedSamples } from '../detect/pressRule.ts';
import { intentOf, type Labels } from '../labels/labels.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import { waitMs } from '../score/waitAfterStop.ts';
import { quantileSorted } from '../statistics/sorted.ts';
import { checkedAxis } from './axis.ts';
import { type SweepGrid, sumGrids } from './grid.ts';
import { holdTails } from './holdBins.ts';
import { OpenSweep } from './openSweep.ts';
import { PressSweep } from './pressSweep.ts';
import { ThresholdWalk } from './thresholdWalk.ts';
import { WaitSweep } from './waitSweep.ts';

/** Presses let through or refused that should not be, over speed (x) and hold (y). What `scoreGuard` gives as null is NaN here. */
export interface GuardSweep<
  Part extends string = 'strays' | 'wanted',
  Size extends string = 'strays' | 'wanted' | 'spinningS' | 'stops',
> extends SweepGrid<Part, Size> {
  /** The part of the spinning time in which the guard is open. */
  readonly openShare: Float64Array;
  readonly timesMs: { readonly waitMedianMs: Float64Array };
}

/** See `sumGrids`; the open share is that of all takes' spinning time together, NaN where none spins. */
export function sumGuardSweeps<Grid extends GuardSweep>(sweeps: readonly Grid[]): Grid {
  const sum = sumGrids(sweeps);
  if (sweeps.length === 1) return sum;
  const openShare = new Float64Array(sum.openShare.length);
  let totalS = 0;
  for (const { openShare: share, sizes } of sweeps) {
    if (sizes.spinningS === 0) continue;
    totalS += sizes.spinningS;
    for (let i = 0; i < openShare.length; ++i) openShare[i]! += share[i]! * sizes.spinningS;
  }
  return { ...sum, openShare: openShare.map((openS) => (totalS === 0 ? Number.NaN : openS / totalS)) };
}

/**
 * What `scoreGuard` would give at every speed and hold, the other settings as in `base`, in one pass for all of them.
 * @param args  `xs` (speeds, °/s) and `ys` (holds, ms) rising.
 * @throws RangeError  on an axis that is empty, not finite or does not rise, and on a setting out of bounds.
 */
export function sweepGuard(args: {
  readonly signals: SpeedSignals;
  readonly presses: readonly Press[];
  readonly labels: Labels;
  readonly spinning: readonly Span[];
  readonly base: GuardSettings;
  readonly xs: readonly number[];
  readonly ys: readonly number[];
}): GuardSweep {
  const { signals, base } = args;
  const speedsDps = checkedAxis('xs', args.xs);
  const holdsMs = checkedAxis('ys', args.ys);
  // Its constructor knows the bounds of every setting; the least speed and hold stand for all.
  new GuardDetector({ ...base, speedDps: speedsDps[0]!, holdMs: holdsMs[0]! }, signals.rateHz);
  const tails = holdTails(holdsMs, signals.rateHz);
  const parts = {
    stray: new PressSweep(speedsDps.length, tails),
    wanted: new PressSweep(speedsDps.length, tails),
    open: new OpenSweep(sampleRanges(signals.timeUs, args.spinning), speedsDps.length, tails),
    wait: new WaitSweep(signals, speedsDps, tails),
  };
  const { judged, refused } = judgedPresses(args);
  for (const intent of ['stray', 'wanted'] as const) parts[intent].addRefused(refused[intent]);
  const walk = new ThresholdWalk(speedsDps, base.releaseRatio);
  walkAll(
    signals,
    walk,
    parts,
    judged.filter(({ first, last }) => first === last),
  );
  addHeld(signals, walk, parts, judged);
  return { ...gridOf(parts, signals.rateHz, speedsDps.length, holdsMs.length), xs: speedsDps, ys: holdsMs };
}

interface Parts {
  readonly stray: PressSweep;
  readonly wanted: PressSweep;
  readonly open: OpenSweep;
  readonly wait: WaitSweep;
}

interface JudgedPress {
  readonly first: number;
  readonly last: number;
  readonly intent: 'stray' | 'wanted';
}

/** Labelled presses with the samples that judge them, in time order; and how many of each are refused by their length. */
function judgedPresses(args: {
  readonly signals: SpeedSignals;
  readonly presses: readonly Press[];
  readonly labels: Labels;
  readonly base: GuardSettings;
}) {
  const judged: JudgedPress[] = [];
  const refused = { stray: 0, wanted: 0 };
  for (const [i, window] of actWindows(args.presses, args.base).entries()) {
    const intent = intentOf(args.labels, args.presses[i]!)?.intent;
    if (intent !== 'stray' && intent !== 'wanted') continue;
    if (window === 'length') ++refused[intent];
    if (typeof window === 'string') continue;
    const samples = judgedSamples(args.signals, window);
    if (samples !== null) judged.push({ ...samples, intent });
  }
  return { judged: judged.sort((a, b) => a.first - b.first), refused };
}

function walkAll(
  signals: SpeedSignals,
  walk: ThresholdWalk,
  parts: Parts,
  presses: readonly JudgedPress[],
): void {
  const { open, wait } = parts;
  const events = {
    rise(t: number, i: number, last: number): void {
      open.rise(t, i, last);
      wait.gap(t, last, i);
    },
    fall: (t: number, i: number) => open.fall(t, i),
  };
  let next = 0;
  for (const { start, end } of signals.segments) {
    walk.reset();
    let from = start;
    for (; next < presses.length && presses[next]!.first < end; ++next) {
      const { first: index, intent } = presses[next]!;
      walk.walk(signals.swingSpeedDps, from, index + 1, events);
      from = index + 1;
      parts[intent].add(walk, index);
    }
    walk.walk(signals.swingSpeedDps, from, end, events);
    endSegment(walk, parts, end);
  }
}

/** Presses that are held: one is refused where the guard is closed all the time, so its longest tail decides. */
function addHeld(
  { swingSpeedDps, segments }: SpeedSignals,
  walk: ThresholdWalk,
  parts: Parts,
  presses: readonly JudgedPress[],
): void {
  for (const { first, last, intent } of presses) {
    if (first === last) continue;
    walk.reset();
    walk.walk(swingSpeedDps, segmentAt(segments, first).start, first, NO_EVENTS);
    const held = parts[intent].hold();
    for (let i = first; i <= last; ++i) {
      walk.walk(swingSpeedDps, i, i + 1, NO_EVENTS);
      held.see(walk, i);
    }
    held.add();
  }
}

const NO_EVENTS = { rise(): void {}, fall(): void {} };

function endSegment(walk: ThresholdWalk, { open, wait }: Parts, end: number): void {
  for (let t = 0; t < walk.lastHigh.length; ++t) {
    const isHigh = t < walk.highCount;
    open.finish(t, isHigh, walk.lastHigh[t]!, end);
    if (!isHigh) wait.gap(t, walk.lastHigh[t]!, end);
    wait.dropBefore(t, end);
  }
}

/** NaN where nothing waits. @param waits  in samples, rising */
function medianMs(waits: Int32Array, rateHz: number): number {
  if (waits.length === 0) return Number.NaN;
  // The one or two in the middle: the others say nothing of it.
  const middle = waits.subarray((waits.length - 1) >> 1, (waits.length >> 1) + 1);
  return quantileSorted(
    Array.from(middle, (samples) => waitMs(samples, rateHz)),
    0.5,
  );
}

function gridOf({ stray, wanted, open, wait }: Parts, rateHz: number, speeds: number, holds: number) {
  const cells = speeds * holds;
  const wrong = { strays: new Int32Array(cells), wanted: new Int32Array(cells) };
  const openShare = new Float64Array(cells);
  const waitMedianMs = new Float64Array(cells);
  const { total } = open;
  for (let t = 0, cell = 0; t < speeds; ++t) {
    for (let hold = 0; hold < holds; ++hold, ++cell) {
      wrong.strays[cell] = stray.accepted(t, hold);
      wrong.wanted[cell] = wanted.presses - wanted.accepted(t, hold);
      openShare[cell] = total === 0 ? Number.NaN : (total - open.closed(t, hold)) / total;
      waitMedianMs[cell] = medianMs(wait.waited(t, hold), rateHz);
    }
  }
  const sizes = {
    strays: stray.presses,
    wanted: wanted.presses,
    spinningS: total / rateHz,
    stops: wait.mostStops,
  };
  return { sizes, wrong, openShare, timesMs: { waitMedianMs } };
}
