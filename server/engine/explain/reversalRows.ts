import { samplesFromMs } from '../base/sampleCount.ts';
import { type GuardSettings, guardReachSamples } from '../detect/guard.ts';
import type { PressVerdict } from '../detect/presses.ts';
import { type Intent, intentOf, type Labels } from '../labels/labels.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import { quantileSorted } from '../statistics/sorted.ts';
import type { Reversal } from '../truth/reversals.ts';
import { holdNeededMs, holdNeededSamples } from './reversalHolds.ts';

/** A press within this time of a reversal is listed with it. */
const NEAR_MS = 250;

interface NearPress {
  readonly downUs: number;
  /** Time after the reversal; negative before it. */
  readonly offsetMs: number;
  readonly intent: Intent | null;
  readonly accepted: boolean | null;
}

/** A reversal, and how a candidate's guard does at it. */
export interface ReversalRow {
  readonly timeUs: number;
  readonly lowestDps: number;
  readonly turnDeg: number;
  /** Time below the guard's speed on the causal channel; null where it was not there before, or does not come back. */
  readonly dipMs: number | null;
  /** The hold, in whole ms, that keeps the guard closed through it, see `holdNeededMs`; null where none does. */
  readonly holdNeededMs: number | null;
  /** The same in samples of the take's log. */
  readonly holdNeededSamples: number | null;
  readonly rateHz: number;
  readonly pressesNear: readonly NearPress[];
}

/** @param args  `verdicts` as the same guard gave them, in time order. */
export function reversalRows(args: {
  readonly signals: SpeedSignals;
  readonly reversals: readonly Reversal[];
  readonly verdicts: readonly PressVerdict[];
  readonly labels: Labels;
  readonly guard: GuardSettings;
}): ReversalRow[] {
  const { signals, reversals, guard } = args;
  const { rateHz } = signals;
  return reversals.map((reversal) => {
    const dip = holdNeededSamples(signals, reversal, { speedDps: guard.speedDps, releaseRatio: 1 });
    const hold = guard.releaseRatio === 1 ? dip : holdNeededSamples(signals, reversal, guard);
    return {
      timeUs: reversal.timeUs,
      lowestDps: reversal.lowestDps,
      turnDeg: reversal.turnDeg,
      dipMs: dip === null ? null : (dip * 1000) / rateHz,
      holdNeededMs: hold === null ? null : holdNeededMs(hold, rateHz),
      holdNeededSamples: hold,
      rateHz,
      pressesNear: pressesNear(reversal, args.verdicts, args.labels),
    };
  });
}

/** Whether a guard with this hold stays closed through it, counted in samples as the detector does. */
export function isHeldThrough(
  { holdNeededSamples, rateHz }: Pick<ReversalRow, 'holdNeededSamples' | 'rateHz'>,
  holdMs: number,
): boolean {
  return holdNeededSamples !== null && holdNeededSamples <= guardReachSamples(holdMs, rateHz);
}

function pressesNear({ timeUs }: Reversal, verdicts: readonly PressVerdict[], labels: Labels): NearPress[] {
  const near: NearPress[] = [];
  for (const { press, decidedUs, accepted } of verdicts) {
    const offsetMs = ((decidedUs ?? press.downUs) - timeUs) / 1000;
    if (Math.abs(offsetMs) > NEAR_MS) continue;
    near.push({ downUs: press.downUs, offsetMs, intent: intentOf(labels, press)?.intent ?? null, accepted });
  }
  return near;
}

/** No performer waits longer than this after a stop: the curve ends here. */
const CURVE_END_MS = 1000;

/**
 * The hold that each reversal needs at each speed, in ms; Infinity where none up to CURVE_END_MS helps. One row for each
 * reversal.
 */
export function holdsNeededMs(
  signals: SpeedSignals,
  reversals: readonly Reversal[],
  releaseRatio: number,
  speedsDps: readonly number[],
): Float64Array[] {
  const most = samplesFromMs(CURVE_END_MS, signals.rateHz);
  return reversals.map((reversal) =>
    Float64Array.from(speedsDps, (speedDps) => {
      const samples = holdNeededSamples(signals, reversal, { speedDps, releaseRatio }, most);
      return samples === null ? Infinity : holdNeededMs(samples, signals.rateHz);
    }),
  );
}

/** Quantiles, at each speed, of the holds that reversals need. */
export interface HoldCurve {
  readonly speedsDps: readonly number[];
  readonly reversals: number;
  readonly medianMs: Float64Array;
  readonly p90Ms: Float64Array;
  readonly p95Ms: Float64Array;
  readonly maxMs: Float64Array;
}

/**
 * @param rows  as `holdsNeededMs` gives them, of any number of takes. A quantile is Infinity where it falls among
 * reversals that no hold bridges.
 */
export function holdCurve(speedsDps: readonly number[], rows: readonly Float64Array[]): HoldCurve {
  const curve = {
    speedsDps,
    reversals: rows.length,
    medianMs: new Float64Array(speedsDps.length).fill(Number.NaN),
    p90Ms: new Float64Array(speedsDps.length).fill(Number.NaN),
    p95Ms: new Float64Array(speedsDps.length).fill(Number.NaN),
    maxMs: new Float64Array(speedsDps.length).fill(Number.NaN),
  };
  if (rows.length === 0) return curve;
  const sorted = new Float64Array(rows.length);
  for (let s = 0; s < speedsDps.length; ++s) {
    for (let r = 0; r < rows.length; ++r) sorted[r] = rows[r]![s]!;
    sorted.sort();
    curve.medianMs[s] = quantileOrInfinity(sorted, 0.5);
    curve.p90Ms[s] = quantileOrInfinity(sorted, 0.9);
    curve.p95Ms[s] = quantileOrInfinity(sorted, 0.95);
    curve.maxMs[s] = sorted.at(-1)!;
  }
  return curve;
}

/** The quantile between a number and Infinity is Infinity, not NaN. */
function quantileOrInfinity(sorted: Float64Array, p: number): number {
  const above = sorted[Math.ceil((sorted.length - 1) * p)]!;
  return above === Infinity ? Infinity : quantileSorted(sorted, p);
}
