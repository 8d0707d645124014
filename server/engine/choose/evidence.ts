import type { GuardSettings } from '../detect/guard.ts';
import { actWindows, judgedSamples } from '../detect/pressRule.ts';
import { labelledBothWays } from '../labels/labelDoubts.ts';
import { areSpinsGiven, intentOf, type LabelBy } from '../labels/labels.ts';
import type { Evidence } from './problem.ts';
import type { ChoiceTake } from './takeSweep.ts';
import { unfitOf } from './unfit.ts';

/** What a take's presses and signals are worth for choosing. */
export interface TakeEvidence extends Evidence {
  readonly strays: number;
  readonly wanted: number;
  /** Without a label, or labelled unsure. */
  readonly unlabelled: number;
  /** Labelled wanted or stray, but with no motion data at the moment that is judged. */
  readonly unjudged: number;
  /** Reversals of spins that the program proposes and nobody has confirmed. */
  readonly proposedReversals: number;
  /** When the presses went down that one labeller calls both wanted and stray. */
  readonly contradictionsUs: readonly number[];
  /** Who made the labels of the judged presses. */
  readonly by: Readonly<Record<LabelBy, number>>;
}

export function evidenceOf(take: ChoiceTake, settings: GuardSettings): TakeEvidence {
  const { id, title, performer, signals, presses, labels } = take;
  const counts = { strays: 0, wanted: 0, unlabelled: 0, unjudged: 0 };
  const by = { person: 0, program: 0, simulation: 0 };
  const windows = actWindows(presses, settings);
  for (const [i, press] of presses.entries()) {
    const label = intentOf(labels, press);
    const window = windows[i]!;
    if (label === null || label.intent === 'unsure') ++counts.unlabelled;
    else if (window !== 'length' && (typeof window === 'string' || judgedSamples(signals, window) === null))
      ++counts.unjudged;
    else {
      ++by[label.by];
      if (label.intent === 'stray') ++counts.strays;
      else ++counts.wanted;
    }
  }
  const contradictionsUs = labelledBothWays(labels);
  const proposedReversals = areSpinsGiven(labels) ? 0 : take.truth.reversals.length;
  return { id, title, performer, ...counts, proposedReversals, contradictionsUs, by, unfit: unfitOf(take) };
}
