import type { Span } from '../base/log.ts';
import { type Labels, spinningSpans, withoutRejected } from '../labels/labels.ts';
import type { RateMotion } from '../motion/motion.ts';
import { findReversals, type Reversal } from './reversals.ts';
import { proposeSpinning } from './spans.ts';
import { proposeSwings, type Swing, settleSwings } from './swings.ts';

/** The truth that candidates are scored against: the same for all of them. */
export interface Truth {
  readonly swings: readonly Swing[];
  readonly spinning: readonly Span[];
  readonly reversals: readonly Reversal[];
}

/** Labels where there are any, and the program's proposals for the rest. */
export function findTruth(motion: RateMotion, labels: Pick<Labels, 'spans' | 'swings'>): Truth {
  const proposed = proposeSwings(motion);
  const swings = settleSwings(motion, withoutRejected(proposed, labels, 'swing'), labels.swings);
  const spinning = spinningSpans(labels, proposeSpinning(motion, proposed));
  return { swings, spinning, reversals: findReversals(motion, swings, spinning) };
}
