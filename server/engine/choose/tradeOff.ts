import type { GuardSettings } from '../detect/guard.ts';
import type { Axes } from '../sweep/grid.ts';
import { type GuardSweep, sweepGuard } from '../sweep/guardSweep.ts';
import { LEAST_SPEED_DPS } from './cost.ts';
import type { ChoiceTake } from './takeSweep.ts';

/**
 * Ways to keep a guard closed at the top of a swing, each with the momentary check as its simplest case; and, as a rule of
 * the button, a hold with presses that act once it opens while they are held.
 */
export type Family = 'momentary' | 'hold' | 'hysteresis' | 'held';

/** A setting that no other of its family beats in both respects. */
export interface FrontPoint {
  readonly x: number;
  readonly y: number;
  readonly speedDps: number;
  readonly holdMs: number;
  readonly releaseRatio: number;
}

/** Release ratios that stand for the hysteresis rule, besides 1. */
export const RELEASE_RATIOS = [0.1, 0.2, 0.35, 0.5, 0.65, 0.8] as const;

/** Sweeps of a take without a hold, one for each release ratio. */
export function sweepHysteresis(take: ChoiceTake, base: GuardSettings, axes: Axes): GuardSweep[] {
  return RELEASE_RATIOS.map((releaseRatio) =>
    sweepWith(take, { ...atOnce(base), releaseRatio }, { ...axes, ys: [0] }),
  );
}

/** A take's sweep with the release ratio 1, and presses that act at once or not at all: speed and hold alone. */
export function sweepPlain(take: ChoiceTake, base: GuardSettings, axes: Axes): GuardSweep {
  return sweepWith(take, plainOf(base), axes);
}

/** The same with presses that act while they are held. */
export function sweepHeld(take: ChoiceTake, base: GuardSettings, axes: Axes): GuardSweep {
  return sweepWith(take, heldOf(base), axes);
}

export function plainOf(base: GuardSettings): GuardSettings {
  return { ...atOnce(base), releaseRatio: 1 };
}

export function heldOf(base: GuardSettings): GuardSettings {
  return { ...base, releaseRatio: 1, decideAt: 'held' };
}

function atOnce(base: GuardSettings): GuardSettings {
  return base.decideAt === 'held' ? { ...base, decideAt: 'press' } : base;
}

function sweepWith(take: ChoiceTake, base: GuardSettings, axes: Axes): GuardSweep {
  const { signals, presses, labels, truth } = take;
  return sweepGuard({ signals, presses, labels, spinning: truth.spinning, base, ...axes });
}

/** Points of a sweep's cells, x and y as told. Cells where either is NaN, and speeds below a swing's, are left out. */
export function pointsOf(
  sweep: GuardSweep,
  releaseRatio: number,
  of: (sweep: GuardSweep, cell: number) => readonly [number, number],
  isIn: (holdMs: number) => boolean = () => true,
): FrontPoint[] {
  const points: FrontPoint[] = [];
  const holds = sweep.ys.length;
  for (let cell = 0; cell < sweep.openShare.length; ++cell) {
    const holdMs = sweep.ys[cell % holds]!;
    const speedDps = sweep.xs[Math.floor(cell / holds)]!;
    const [x, y] = of(sweep, cell);
    if (!isIn(holdMs) || speedDps < LEAST_SPEED_DPS || Number.isNaN(x) || Number.isNaN(y)) continue;
    points.push({ x, y, speedDps, holdMs, releaseRatio });
  }
  return points;
}

/** The points that none beats, x rising and y falling; of equal ones the first given. */
export function paretoFront(points: readonly FrontPoint[]): FrontPoint[] {
  const front: FrontPoint[] = [];
  for (const point of [...points].sort((a, b) => a.x - b.x || a.y - b.y)) {
    if (front.length === 0 || point.y < front.at(-1)!.y) front.push(point);
  }
  return front;
}
