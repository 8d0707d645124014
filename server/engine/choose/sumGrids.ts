import type { GuardGrid } from './takeSweep.ts';

/**
 * Several takes' grids as one. Counts add up; the open share is that of all their spinning time together; of waits the
 * longest of the takes' medians, and of their 95th percentiles, is kept, for they cannot be pooled.
 * @throws RangeError  on no grid, or grids over other settings.
 */
export function sumGrids(grids: readonly GuardGrid[]): GuardGrid {
  const first = grids[0];
  if (!first) throw new RangeError('there is no grid to sum');
  for (const grid of grids) {
    if (!isSame(grid.speedsDps, first.speedsDps) || !isSame(grid.holdsMs, first.holdsMs))
      throw new RangeError('the grids are over different settings');
  }
  const total = (of: (grid: GuardGrid) => number) => grids.reduce((sum, grid) => sum + of(grid), 0);
  return {
    speedsDps: first.speedsDps,
    holdsMs: first.holdsMs,
    strays: total((grid) => grid.strays),
    wanted: total((grid) => grid.wanted),
    reversals: total((grid) => grid.reversals),
    spinningS: total((grid) => grid.spinningS),
    quietS: total((grid) => grid.quietS),
    quietClosedS: summedTimes(grids.map((grid) => grid.quietClosedS)),
    strayLetThrough: summed(grids.map((grid) => grid.strayLetThrough)),
    wantedRefused: summed(grids.map((grid) => grid.wantedRefused)),
    reversalsOpen: summed(grids.map((grid) => grid.reversalsOpen)),
    openShare: pooledShare(grids),
    waitMedianMs: longest(grids.map((grid) => grid.waitMedianMs)),
    waitP95Ms: longest(grids.map((grid) => grid.waitP95Ms)),
  };
}

function summed(columns: readonly Int32Array[]): Int32Array {
  const out = new Int32Array(columns[0]!.length);
  for (const column of columns) for (let i = 0; i < out.length; ++i) out[i]! += column[i]!;
  return out;
}

function summedTimes(columns: readonly Float64Array[]): Float64Array {
  const out = new Float64Array(columns[0]!.length);
  for (const column of columns) for (let i = 0; i < out.length; ++i) out[i]! += column[i]!;
  return out;
}

/** NaN where no take spins. */
function pooledShare(grids: readonly GuardGrid[]): Float64Array {
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
