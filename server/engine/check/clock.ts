import type { UniformLog } from '../base/log.ts';
import { GAP_STEPS } from '../base/timeBase.ts';
import { counted, figure, percent } from './figures.ts';
import type { ReadFacts } from './input.ts';
import { type CheckLine, cautions, fails, passes } from './line.ts';

/**
 * Scatter of the steps that still leaves speeds right: a hard swing gains 10 000 deg/s in a second, so 2 ms misplace its
 * speed by 20 deg/s, a twelfth of a usual threshold.
 */
export const JITTER_GOOD_MS = 2;
/** Steps longer than this many usual ones hold lost rows; a straight line stands in for them. */
const BRIDGED_STEPS = 1.5;
/** One row in fifty bridged: a short peak may be one of them. */
export const BRIDGED_GOOD_SHARE = 0.02;
/** With three rows in ten made up, the log is a drawing of the motion. */
export const BRIDGED_LEAST_SHARE = 0.3;
const BINS = 41;

/** How the steps between stamps scatter, gaps left out. */
export interface StepHistogram {
  readonly fromMs: number;
  readonly toMs: number;
  /** Equal bins from `fromMs` to `toMs`. */
  readonly counts: readonly number[];
  readonly shorter: number;
  readonly longer: number;
  readonly nominalMs: number;
  readonly jitterMs: number;
  /** Rows that a straight line stands in for. */
  readonly bridged: number;
}

/** @param segments  of the log on its grid, which has as many points as there were rows to be read */
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

/** True where rows have stamps of a clock: counting rows is none. */
export function hasStamps({ columns }: Pick<ReadFacts, 'columns'>): boolean {
  return columns.some(({ role, unit }) => role === 'time' && unit !== 'counter');
}

/** @param gaps  of the log: what is said of rows holds between them */
export function checkClock(
  steps: StepHistogram,
  { rows, columns, evened = null }: ReadFacts,
  gaps: number,
): CheckLine {
  if (!hasStamps({ columns }))
    return cautions(
      'clock',
      `The log has no clock: its rate is taken as stated, ${figure(1000 / steps.nominalMs, 4)} Hz.`,
      'Log a time stamp with each row; until then measure the rate against a watch.',
      'every time and angle, as far as the stated rate is off',
    );
  const share = steps.bridged / rows;
  const lost =
    steps.bridged === 0
      ? gaps === 0
        ? 'no row is missing'
        : `outside the ${gaps === 1 ? 'gap' : 'gaps'} no row is missing`
      : `${counted(steps.bridged, 'single row')} missing (${percent(share)}), bridged by straight lines`;
  if (evened === 'bunches' || evened === 'stated') return ofEvenClock(evened, steps.nominalMs);
  const cut = evened === 'grid' ? ' once rows on coarse stamps are spread evenly' : '';
  const finding = `Steps scatter by ${figure(steps.jitterMs, 2)} ms (root mean square) about ${figure(steps.nominalMs, 4)} ms${cut}; ${lost}.`;
  const advice =
    'Stamp each row when the sensor is read, and give the logger time to write: a faster card, a larger buffer.';
  if (share >= BRIDGED_LEAST_SHARE) return fails('clock', finding, advice, 'every peak and dip');
  if (steps.jitterMs > JITTER_GOOD_MS || share > BRIDGED_GOOD_SHARE)
    return cautions('clock', finding, advice, 'speeds at steep moments');
  return passes('clock', finding);
}

/** Rows whose stamps were put aside: of the clock itself nothing can be said. */
function ofEvenClock(evened: 'bunches' | 'stated', nominalMs: number): CheckLine {
  const rate = `${figure(1000 / nominalMs, 4)} Hz`;
  const finding =
    evened === 'bunches'
      ? `Stamps come in bunches: rows are set evenly at their mean rate of ${rate}, and a row lost inside a bunch does not show.`
      : `Rows are set at even steps of ${rate}, as stated: a lost row does not show.`;
  return cautions(
    'clock',
    finding,
    'Stamp each row when the sensor is read, before it goes to a buffer or over the air.',
    'single moments, as far as rows came unevenly or were lost',
  );
}
