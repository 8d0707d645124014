import type { UniformLog } from '../base/log.ts';
import { GAP_STEPS } from '../base/timeBase.ts';
import type { ReadFacts } from './input.ts';
import type { Line } from './line.ts';
import type { RateFinding } from './statedRate.ts';

/**
 * Scatter of the steps that still leaves speeds right: a hard swing gains 10 000 deg/s in a second, so an error of 2 ms
 * shifts its speed by 20 deg/s, a twelfth of a usual threshold.
 */
const JITTER_GOOD_MS = 2;
/** Steps longer than this many usual ones hold lost rows, which are interpolated. */
const BRIDGED_STEPS = 1.5;
/** One row in fifty bridged: a short peak may be one of them. */
const BRIDGED_GOOD_SHARE = 0.02;
/** With three rows in ten interpolated, the log hardly shows the motion. */
const BRIDGED_LEAST_SHARE = 0.3;
const BINS = 41;

/** Distribution of the steps between stamps, gaps left out. */
export interface StepHistogram {
  readonly fromMs: number;
  readonly toMs: number;
  /** Equal bins from `fromMs` to `toMs`. */
  readonly counts: readonly number[];
  readonly shorter: number;
  readonly longer: number;
  readonly nominalMs: number;
  readonly jitterMs: number;
  /** Interpolated rows. */
  readonly bridged: number;
}

/** @param segments  of the log on its grid, which has as many points as there should have been rows */
export function measureSteps(timeUs: Float64Array, { stepUs, segments }: UniformLog): StepHistogram {
  let squares = 0;
  let regular = 0;
  let late = 0;
  for (let i = 1; i < timeUs.length; ++i) {
    const step = timeUs[i]! - timeUs[i - 1]!;
    if (step > GAP_STEPS * stepUs) continue;
    if (step > BRIDGED_STEPS * stepUs) {
      late += Math.round(step / stepUs) - 1;
      continue;
    }
    squares += (step - stepUs) * (step - stepUs);
    ++regular;
  }
  const jitterUs = regular > 0 ? Math.sqrt(squares / regular) : 0;
  const halfUs = Math.max(0.05 * stepUs, 4 * jitterUs);
  const fromUs = Math.max(0, stepUs - halfUs);
  const bins = countSteps(timeUs, fromUs, stepUs + halfUs, GAP_STEPS * stepUs);
  // A long step may be jitter alone: then the rows are all there.
  const wanted = segments.reduce((sum, { start, end }) => sum + end - start, 0);
  const bridged = Math.max(0, Math.min(late, wanted - timeUs.length));
  return { ...bins, nominalMs: stepUs / 1e3, jitterMs: jitterUs / 1e3, bridged };
}

function countSteps(timeUs: Float64Array, fromUs: number, toUs: number, mostUs: number) {
  const counts = new Array<number>(BINS).fill(0);
  let shorter = 0;
  let longer = 0;
  for (let i = 1; i < timeUs.length; ++i) {
    const step = timeUs[i]! - timeUs[i - 1]!;
    if (step > mostUs) continue;
    const bin = Math.floor(((step - fromUs) / (toUs - fromUs)) * BINS);
    if (bin < 0) ++shorter;
    else if (bin >= BINS) ++longer;
    else counts[bin] = counts[bin]! + 1;
  }
  return { fromMs: fromUs / 1e3, toMs: toUs / 1e3, counts, shorter, longer };
}

/** Whether the rows have stamps of a clock; a counter of rows is none. */
export function hasStamps({ columns }: Pick<ReadFacts, 'columns'>): boolean {
  return columns.some(({ role, unit }) => role === 'time' && unit !== 'counter');
}

/** A rate that is off by more puts every time, angle and hold off: no setting found on it holds. */
const RATE_OFF_LEAST = 0.15;

function rateState(rate: RateFinding | null): ClockLine['state'] {
  // Where it fits, a lost row does not show all the same.
  if (rate?.kind !== 'misfits') return 'caution';
  return Math.abs(Math.log(rate.fittingHz / rate.statedHz)) > RATE_OFF_LEAST ? 'fail' : 'caution';
}

export interface ClockLine extends Line<'clock'> {
  /**
   * Source of the times: stamps, stamps of a coarse grid spread evenly, the mean pace of stamps that come in bunches, a
   * stated rate in place of the stamps, or a stated rate because there are no stamps.
   */
  readonly source: 'stamps' | 'grid' | 'bunches' | 'stated' | 'none';
  readonly steps: Pick<StepHistogram, 'nominalMs' | 'jitterMs' | 'bridged'>;
  /** Share of the rows that are interpolated. */
  readonly bridgedShare: number;
  /** What gravity says of a stated rate; null where there are stamps, or nothing is said. */
  readonly rate: RateFinding | null;
  /** Number of gaps; lost rows are looked for only between them. */
  readonly gaps: number;
}

/** @param rate  of a log without stamps */
export function checkClock(
  steps: StepHistogram,
  facts: ReadFacts,
  gaps: number,
  rate: RateFinding | null,
): ClockLine {
  const source = hasStamps(facts) ? (facts.evened ?? 'stamps') : 'none';
  const bridgedShare = steps.bridged / facts.rows;
  const line = { id: 'clock', source, steps, bridgedShare, gaps, rate } as const;
  if (source === 'none') return { ...line, state: rateState(rate) };
  if (source !== 'stamps' && source !== 'grid') return { ...line, state: 'caution' };
  if (bridgedShare >= BRIDGED_LEAST_SHARE) return { ...line, state: 'fail' };
  const isUneven = steps.jitterMs > JITTER_GOOD_MS || bridgedShare > BRIDGED_GOOD_SHARE;
  return { ...line, state: isUneven ? 'caution' : 'pass' };
}
