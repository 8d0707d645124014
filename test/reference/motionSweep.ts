import type { Span } from '../../server/engine/base/log.ts';
import { type GuardSettings, runGuard } from '../../server/engine/detect/guard.ts';
import type { SpeedSignals } from '../../server/engine/motion/signals.ts';

/** Spins open and stops late by looking at every sample, with the guard run anew in every cell. */
export function referenceMotionSweep(args: {
  signals: SpeedSignals;
  spins: readonly Span[];
  stopsUs: readonly number[];
  patienceMs: number;
  base: GuardSettings;
  speedsDps: readonly number[];
  holdsMs: readonly number[];
}) {
  const { signals, spins, stopsUs, patienceMs } = args;
  const cells = args.speedsDps.flatMap((speedDps) =>
    args.holdsMs.map((holdMs) => {
      const closed = runGuard(signals, { ...args.base, speedDps, holdMs });
      return {
        shares: openShares(signals, closed, spins),
        late: stopsUs.flatMap((stopUs) => lateAfter(signals, closed, stopUs, patienceMs) ?? []),
      };
    }),
  );
  return {
    spins: cells[0]!.shares.length,
    stops: cells[0]!.late.length,
    spinsOpen: cells.map(({ shares }) => shares.filter((share) => share > 0.05).length),
    stopsLate: cells.map(({ late }) => late.filter(Boolean).length),
  };
}

/** A sample in two spins belongs to the one that begins first. */
function openShares(signals: SpeedSignals, closed: Uint8Array, spins: readonly Span[]): number[] {
  const taken = new Set<number>();
  return [...spins]
    .sort((a, b) => a.startUs - b.startUs)
    .flatMap(({ startUs, endUs }) => {
      const own: number[] = [];
      signals.timeUs.forEach((us, i) => {
        if (us >= startUs && us < endUs && !taken.has(i)) own.push(i);
      });
      for (const i of own) taken.add(i);
      return own.length === 0 ? [] : [own.filter((i) => closed[i] === 0).length / own.length];
    });
}

/** null where the second after the stop is not all in one segment, or holds no sample once the patience is over. */
function lateAfter(
  signals: SpeedSignals,
  closed: Uint8Array,
  stopUs: number,
  patienceMs: number,
): boolean | null {
  const { timeUs } = signals;
  const segment = signals.segments.find(
    ({ start, end }) => timeUs[start]! <= stopUs && timeUs[end - 1]! >= stopUs + 1e6,
  );
  if (!segment) return null;
  const wanted: number[] = [];
  for (let i = segment.start; i < segment.end; ++i)
    if (timeUs[i]! >= stopUs + patienceMs * 1000 && timeUs[i]! < stopUs + 1e6) wanted.push(i);
  return wanted.length === 0 ? null : wanted.some((i) => closed[i] === 1);
}
