import type { GuardSweep } from '../sweep/guardSweep.ts';
import type { GuardGrid } from './takeSweep.ts';

/**
 * Several takes' sweeps as one. Counts add up; the open share is that of all their spinning time together; of waits the
 * longest of the takes' medians, and of their 95th percentiles, is kept, for they cannot be pooled.
 * @throws RangeError  on no sweep, or sweeps over other settings.
 */
export function sumSweeps(sweeps: readonly GuardSweep[]): GuardSweep {
  const first = sweeps[0];
  if (!first) throw new RangeError('there is no grid to sum');
  for (const sweep of sweeps) {
    if (!isSame(sweep.speedsDps, first.speedsDps) || !isSame(sweep.holdsMs, first.holdsMs))
      throw new RangeError('the grids are over different settings');
  }
  const total = (of: (sweep: GuardSweep) => number) => sweeps.reduce((sum, sweep) => sum + of(sweep), 0);
  return {
    speedsDps: first.speedsDps,
    holdsMs: first.holdsMs,
    strays: total((sweep) => sweep.strays),
    wanted: total((sweep) => sweep.wanted),
    spinningS: total((sweep) => sweep.spinningS),
    stops: total((sweep) => sweep.stops),
    strayLetThrough: summed(sweeps.map((sweep) => sweep.strayLetThrough)),
    wantedRefused: summed(sweeps.map((sweep) => sweep.wantedRefused)),
    openShare: pooledShare(sweeps),
    waitMedianMs: longest(sweeps.map((sweep) => sweep.waitMedianMs)),
    waitP95Ms: longest(sweeps.map((sweep) => sweep.waitP95Ms)),
  };
}

/** The same with reversals and quiet time, which add up too. */
export function sumGrids(grids: readonly GuardGrid[]): GuardGrid {
  return {
    ...sumSweeps(grids),
    reversals: grids.reduce((sum, grid) => sum + grid.reversals, 0),
    reversalsOpen: summed(grids.map((grid) => grid.reversalsOpen)),
    quietS: grids.reduce((sum, grid) => sum + grid.quietS, 0),
    quietClosedS: summed(grids.map((grid) => grid.quietClosedS)),
  };
}

function summed<T extends Int32Array | Float64Array>(columns: readonly T[]): T {
  const out = columns[0]!.slice() as T;
  for (const column of columns.slice(1)) for (let i = 0; i < out.length; ++i) out[i]! += column[i]!;
  return out;
}

/** NaN where no take spins. */
function pooledShare(grids: readonly GuardSweep[]): Float64Array {
  const out = new Float64Array(grids[0]!.openShare.length);
  let totalS = 0;
  for (const { openShare, spinningS } of grids) {
    if (spinningS === 0) continue;
    totalS += spinningS;
    for (let i = 0; i < out.length; ++i) out[i]! += openShare[i]! * spinningS;
  }
  for (let i = 0; i < out.length; ++i) out[i] = totalS === 0 ? Number.NaN : out[i]! / totalS;
  return out;
}

/** NaN where no take has a wait. */
function longest(columns: readonly Float64Array[]): Float64Array {
  const out = new Float64Array(columns[0]!.length).fill(Number.NaN);
  for (const column of columns) {
    for (let i = 0; i < out.length; ++i)
      if (!(column[i]! <= out[i]!) && !Number.isNaN(column[i]!)) out[i] = column[i]!;
  }
  return out;
}

function isSame(a: Float64Array, b: Float64Array): boolean {
  return a.length === b.length && a.every((value, i) => value === b[i]);
}
