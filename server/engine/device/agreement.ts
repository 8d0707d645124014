import { type Interval, wilsonInterval } from '../statistics/wilson.ts';
import { type Decisions, FIRE_NAMES, type FireName, type Grid, KIND_OF } from './decisions.ts';
import type { Logged } from './logged.ts';
import { matchSamples } from './match.ts';

/** A kind of decision: a press is refused or not, the guard closes or opens, something fires. */
export type DecisionKind = 'press' | 'closes' | 'opens' | FireName;

/** A decision that prop and bench do not share. */
export interface Difference {
  readonly kind: DecisionKind;
  readonly atUs: number;
  /** A press: which of both refuses it. Else which of both alone decides it, or that the prop does so at another time. */
  readonly who: 'prop' | 'bench' | 'both';
  /** By how much the prop is later, where both decide; negative where it is earlier. */
  readonly lateUs: number | null;
}

/** How far the prop's own decisions are those of the bench. */
export interface Agreement {
  /** All decisions of either: each press once, each change of the guard and each fire of both once. */
  readonly n: number;
  readonly alike: number;
  readonly interval: Interval | null;
  readonly ofKind: ReadonlyMap<DecisionKind, { readonly n: number; readonly alike: number }>;
  /** In time order. */
  readonly differences: readonly Difference[];
  /** Further apart than this, two are not at the same time. */
  readonly toleranceUs: number;
  /** By how much the prop is later in the middle of all that both decide, if that is so nearly always; else 0. */
  readonly lateUs: number;
  /** Of guard and detectors, the dial left out: what both decide at the same time, and how many of these not at the same sample. */
  readonly pairs: number;
  readonly apart: number;
  /** Differences, and what pairs lie apart within the tolerance as parts of one: of two settings the lesser is nearer. */
  readonly cost: number;
  /** The prop tells of deflections, and nobody knows when their button was held: they are not compared. */
  readonly areDeflectionsUnknown: boolean;
}

/** A sample and a half, for rows need not lie on the grid; at high rates 4 ms: a trace of noise moves a crossing so far. */
export const TOLERANCE_STEPS = 1.5;
export const TOLERANCE_US = 4000;
/** The dial goes by an angle that may move slowly. */
export const DIAL_TOLERANCE_US = 50_000;
/** Two that lie no further apart are one decision at another time. */
const MOVED_US = 300_000;
/** What a pair costs that lies apart by just the tolerance. */
const APART_COST = 0.3;
/** So many pairs, and so large a part of them later (or earlier), are no chance. */
const LATE_PAIRS = 5;
const LATE_PART = 0.8;
/** Nor is it where so many are not at the same sample. */
const APART_PART = 0.2;

/** What the log says beside what the bench says of the same grid. @param downsUs  of each press */
export function compareDecisions(
  bench: Decisions,
  { decisions: prop, withoutPressUs }: Logged,
  grid: Grid,
  downsUs: readonly number[],
): Agreement {
  const stepUs = 1e6 / grid.rateHz;
  const toleranceUs = Math.max(TOLERANCE_STEPS * stepUs, TOLERANCE_US);
  const reach = Math.floor(toleranceUs / stepUs);
  const dialReach = Math.max(reach, Math.floor(DIAL_TOLERANCE_US / stepUs));
  const count = new Count(grid, Math.ceil(MOVED_US / stepUs));
  if (prop.refused && bench.refused) {
    count.presses(bench.refused, prop.refused, downsUs);
    for (const atUs of withoutPressUs) count.add('press', { atUs, who: 'prop', lateUs: null });
  }
  if (prop.closed && bench.closed) {
    for (const to of [1, 0] as const)
      count.moments(
        to === 1 ? 'closes' : 'opens',
        changes(grid, bench.closed, to),
        changes(grid, prop.closed, to),
        reach,
      );
  }
  if (prop.fires && bench.fires) {
    count.areDeflectionsUnknown = bench.fires.deflection === null;
    for (const name of FIRE_NAMES) {
      const [own, logged] = [bench.fires[name], prop.fires[name]];
      if (own && logged) count.moments(name, own, logged, KIND_OF[name] === 'dial' ? dialReach : reach);
    }
  }
  return count.agreement(toleranceUs);
}

/** Whether there is nothing to be explained: alike, and nearly all at the very sample too. */
export function isAlike({ differences, lateUs, pairs, apart }: Agreement): boolean {
  return differences.length === 0 && lateUs === 0 && !(pairs >= LATE_PAIRS && apart >= APART_PART * pairs);
}

class Count {
  private readonly grid: Grid;
  private readonly wideReach: number;
  private readonly ofKind = new Map<DecisionKind, { n: number; alike: number }>();
  private readonly differences: Difference[] = [];
  private readonly lates: number[] = [];
  areDeflectionsUnknown = false;
  private cost = 0;
  private pairs = 0;
  private apart = 0;

  constructor(grid: Grid, wideReach: number) {
    this.grid = grid;
    this.wideReach = wideReach;
  }

  /** A decision that is alike where nothing is given. */
  add(kind: DecisionKind, difference: Omit<Difference, 'kind'> | null): void {
    const own = this.ofKind.get(kind) ?? { n: 0, alike: 0 };
    this.ofKind.set(kind, own);
    ++own.n;
    if (difference === null) ++own.alike;
    else this.differences.push({ kind, ...difference });
    if (difference !== null) ++this.cost;
  }

  /** What is said of a bounce is said of the press that it belongs to. */
  presses(
    bench: NonNullable<Decisions['refused']>,
    prop: NonNullable<Decisions['refused']>,
    downsUs: readonly number[],
  ): void {
    for (const [i, own] of bench.entries()) {
      if (own === null || own === 'bounce') continue;
      let isRefused = prop[i] === true;
      for (let k = i + 1; bench[k] === 'bounce'; ++k) isRefused ||= prop[k] === true;
      const who = isRefused ? ('prop' as const) : ('bench' as const);
      this.add('press', own === isRefused ? null : { atUs: downsUs[i]!, who, lateUs: null });
    }
  }

  /** @param reach  so many samples apart, two are at the same time */
  moments(kind: DecisionKind, bench: readonly number[], prop: readonly number[], reach: number): void {
    const at = (index: number) => this.grid.timeUs[index]!;
    const near = matchSamples(bench, prop, reach);
    for (const { first, second } of near.pairs) {
      this.add(kind, null);
      this.lates.push(second - first);
      if (KIND_OF[kind as FireName] !== 'dial') {
        ++this.pairs;
        if (second !== first) ++this.apart;
      }
      this.cost += (APART_COST * Math.abs(second - first)) / Math.max(1, reach);
    }
    const moved = matchSamples(near.firstOnly, near.secondOnly, this.wideReach);
    for (const { first, second } of moved.pairs) {
      this.lates.push(second - first);
      this.add(kind, { atUs: at(first), who: 'both', lateUs: at(second) - at(first) });
    }
    for (const index of moved.firstOnly) this.add(kind, { atUs: at(index), who: 'bench', lateUs: null });
    for (const index of moved.secondOnly) this.add(kind, { atUs: at(index), who: 'prop', lateUs: null });
  }

  agreement(toleranceUs: number): Agreement {
    const counts = [...this.ofKind.values()];
    const n = counts.reduce((sum, own) => sum + own.n, 0);
    const alike = counts.reduce((sum, own) => sum + own.alike, 0);
    return {
      n,
      alike,
      interval: wilsonInterval(alike, n),
      ofKind: this.ofKind,
      differences: this.differences.sort((a, b) => a.atUs - b.atUs),
      toleranceUs,
      lateUs: (this.lateSamples() * 1e6) / this.grid.rateHz,
      pairs: this.pairs,
      apart: this.apart,
      cost: this.cost,
      areDeflectionsUnknown: this.areDeflectionsUnknown,
    };
  }

  private lateSamples(): number {
    const sorted = [...this.lates].sort((a, b) => a - b);
    const middle = sorted[sorted.length >> 1] ?? 0;
    const alike = sorted.filter((own) => Math.sign(own) === Math.sign(middle)).length;
    return sorted.length >= LATE_PAIRS && alike >= LATE_PART * sorted.length ? middle : 0;
  }
}

/** Samples at which the guard comes to a state; a stretch of data begins with an open one. */
function changes({ segments }: Grid, closed: Uint8Array, to: 0 | 1): number[] {
  const found: number[] = [];
  for (const { start, end } of segments) {
    for (let i = start; i < end; ++i)
      if (closed[i] === to && (i > start ? closed[i - 1] : 0) !== to) found.push(i);
  }
  return found;
}
