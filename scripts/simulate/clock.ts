import { seededNormal, seededRandom } from './random.ts';

/** How the logger keeps time. */
export interface ClockModel {
  /** Standard deviation of the instant at which a sample is taken. */
  readonly jitterUs: number;
  /** The logger's clock against true time, in parts per million. */
  readonly skewPpm: number;
  /** Stamps are whole multiples of this. */
  readonly stampStepUs: number;
  /** Single rows that never reached the file, at random places. */
  readonly lostRows: number;
  /** A run of rows that never reached the file. */
  readonly lostRun: { readonly atS: number; readonly rows: number } | null;
}

export const STEADY_CLOCK: ClockModel = {
  jitterUs: 0,
  skewPpm: 0,
  stampStepUs: 1,
  lostRows: 0,
  lostRun: null,
};

export interface SampleTimes {
  /** True instants, in seconds; the first is 0. */
  readonly trueS: Float64Array;
  /** What the log says, from its first sample. */
  readonly stampUs: Float64Array;
  /** Numbers, counted from 0 among all rows that were taken, of the rows that are missing. */
  readonly lost: readonly number[];
}

/** When the rows of a log are taken, what their stamps say, and which of them are lost. */
export function sampleTimes(rateHz: number, durationS: number, clock: ClockModel, seed: number): SampleTimes {
  const taken = Math.floor(durationS * rateHz) + 1;
  const lost = chooseLost(taken, rateHz, clock, seed);
  const normal = seededNormal(seed + 1);
  const trueS: number[] = [];
  const stampUs: number[] = [];
  const mostUs = (0.4 * 1e6) / rateHz;
  for (let k = 0; k < taken; ++k) {
    const jitterUs = k === 0 ? 0 : Math.max(-mostUs, Math.min(mostUs, clock.jitterUs * normal()));
    const takenS = Math.min(durationS, k / rateHz + jitterUs / 1e6);
    if (lost.has(k)) continue;
    trueS.push(takenS);
    stampUs.push(stampOf(takenS, clock));
  }
  return {
    trueS: Float64Array.from(trueS),
    stampUs: Float64Array.from(stampUs),
    lost: [...lost].sort((a, b) => a - b),
  };
}

/** The stamp of an instant, in whole microseconds. */
function stampOf(tS: number, clock: ClockModel): number {
  return Math.round((tS * 1e6 * (1 + clock.skewPpm / 1e6)) / clock.stampStepUs) * clock.stampStepUs;
}

/** Lost rows lie apart from each other and not in the first or last second, so that each is a gap of one row. */
function chooseLost(taken: number, rateHz: number, clock: ClockModel, seed: number): Set<number> {
  const random = seededRandom(seed);
  const lost = new Set<number>();
  const margin = Math.ceil(rateHz);
  if (clock.lostRows > 0 && clock.lostRows * 20 > taken - 2 * margin)
    throw new RangeError('too many lost rows for so short a take');
  while (lost.size < clock.lostRows) {
    const k = margin + Math.floor(random() * (taken - 2 * margin));
    if (![-2, -1, 0, 1, 2].some((near) => lost.has(k + near))) lost.add(k);
  }
  const run = clock.lostRun;
  if (run) for (let k = 0; k < run.rows; ++k) lost.add(Math.round(run.atS * rateHz) + k);
  return lost;
}
