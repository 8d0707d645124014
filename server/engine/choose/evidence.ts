import type { GuardSettings } from '../detect/guard.ts';
import { decisionUs, sampleOf } from '../detect/presses.ts';
import { labelledBothWays } from '../labels/labelDoubts.ts';
import { intentOf, type LabelBy } from '../labels/labels.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import type { Evidence } from './problem.ts';
import type { ChoiceTake } from './takeSweep.ts';

/** What a take's presses and signals are worth for choosing. */
export interface TakeEvidence extends Evidence {
  readonly strays: number;
  readonly wanted: number;
  /** Without a label, or labelled unsure. */
  readonly unlabelled: number;
  /** Labelled wanted or stray, but with no motion data at the moment that is judged. */
  readonly unjudged: number;
  /** When the presses went down that one labeller calls both wanted and stray. */
  readonly contradictionsUs: readonly number[];
  /** Who made the labels of the judged presses. */
  readonly by: Readonly<Record<LabelBy, number>>;
}

/** Below this rate a reversal is over between two samples. */
export const LEAST_RATE_HZ = 40;
/** Slower than this a blade is carried, not swung. */
const LEAST_SWING_DPS = 60;

export function evidenceOf(take: ChoiceTake, settings: GuardSettings): TakeEvidence {
  const { id, title, performer, signals, presses, labels } = take;
  const counts = { strays: 0, wanted: 0, unlabelled: 0, unjudged: 0 };
  const by = { person: 0, program: 0, simulation: 0 };
  for (const press of presses) {
    const label = intentOf(labels, press);
    const momentUs = decisionUs(press, settings);
    if (label === null || label.intent === 'unsure') ++counts.unlabelled;
    else if (momentUs === null || sampleOf(signals, momentUs) === null) ++counts.unjudged;
    else {
      ++by[label.by];
      if (label.intent === 'stray') ++counts.strays;
      else ++counts.wanted;
    }
  }
  const contradictionsUs = labelledBothWays(labels);
  return { id, title, performer, ...counts, contradictionsUs, by, unfit: unfitOf(take) };
}

/** What leaves a take out where the guard or the deflection is chosen: its signals, or that it holds no swing. */
export function unfitOf({ unfit, signals }: Pick<ChoiceTake, 'unfit' | 'signals'>): string | null {
  return (unfit === undefined ? unfitness(signals) : unfit) ?? swingless(signals);
}

type Speeds = Pick<SpeedSignals, 'rateHz' | 'swingSpeedDps' | 'timeUs'>;

/** A sentence if nothing can be chosen on these signals, as far as rate and gaps tell. */
export function unfitness({ rateHz, swingSpeedDps, timeUs }: Speeds): string | null {
  if (timeUs.length === 0) return 'it holds no motion';
  if (rateHz < LEAST_RATE_HZ)
    return `at ${Number(rateHz.toFixed(1))} Hz a reversal is over between two samples; record at 100 Hz or more`;
  const missing = swingSpeedDps.reduce((sum, dps) => sum + (Number.isNaN(dps) ? 1 : 0), 0);
  return missing > timeUs.length / 2 ? 'most of its rotation rates are missing' : null;
}

/** A sentence if the blade never moves fast enough to tell one setting of guard or deflection from another. */
export function swingless({ swingSpeedDps }: Pick<Speeds, 'swingSpeedDps'>): string | null {
  let fastest = 0;
  for (let i = 0; i < swingSpeedDps.length; ++i) if (swingSpeedDps[i]! > fastest) fastest = swingSpeedDps[i]!;
  if (fastest >= LEAST_SWING_DPS) return null;
  return `it holds no swing (its blade never goes faster than ${fastest.toFixed(0)} °/s); check the gyroscope’s unit, or record a spin`;
}
