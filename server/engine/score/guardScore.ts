import type { Span } from '../base/log.ts';
import type { ClosedSamples } from '../detect/closedRuns.ts';
import type { GuardSettings } from '../detect/guard.ts';
import type { PressVerdict } from '../detect/presses.ts';
import { intentOf, type Labels } from '../labels/labels.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import { type Spread, spreadOf } from '../statistics/sorted.ts';
import { openSamples } from './openShare.ts';
import { type Proportion, Tally } from './proportion.ts';
import { stopIndices, waitsMs } from './waitAfterStop.ts';

export interface GuardScore {
  /** Stray presses that the guard let through, of those that could be judged. */
  readonly falseAccepts: Proportion;
  /** Wanted presses that the guard refused, of those that could be judged. */
  readonly falseRejects: Proportion;
  /** Presses without a label, or labelled unsure. */
  readonly unlabelled: number;
  /** Presses labelled wanted or stray that could not be judged. */
  readonly unknown: number;
  /** Part of the spinning samples at which the guard is open; null where there are none. */
  readonly openShare: number | null;
  /** Spinning time with motion data. */
  readonly spinningS: number;
  readonly waitAfterStopMs: Spread | null;
}

/** @param args  `closed` and `verdicts` as the same `settings` gave them; `spinning` spans may overlap. */
export function scoreGuard(args: {
  readonly signals: SpeedSignals;
  readonly closed: ClosedSamples;
  readonly verdicts: readonly PressVerdict[];
  readonly labels: Pick<Labels, 'presses'>;
  readonly spinning: readonly Span[];
  readonly settings: GuardSettings;
  /** As `stopIndices` gives them, where they are found faster. */
  readonly stops?: readonly number[];
}): GuardScore {
  const { signals, closed, settings } = args;
  const { open, total } = openSamples(signals, closed, args.spinning);
  const stops = args.stops ?? stopIndices(signals, settings.speedDps);
  return {
    ...scorePresses(args.verdicts, args.labels),
    openShare: total === 0 ? null : open / total,
    spinningS: total / signals.rateHz,
    waitAfterStopMs: spreadOf(waitsMs(signals, closed, stops)),
  };
}

function scorePresses(verdicts: readonly PressVerdict[], labels: Pick<Labels, 'presses'>) {
  const stray = new Tally();
  const wanted = new Tally();
  let unlabelled = 0;
  let unknown = 0;
  for (const { press, accepted } of verdicts) {
    const label = intentOf(labels, press);
    if (label === null || label.intent === 'unsure') ++unlabelled;
    else if (accepted === null) ++unknown;
    else if (label.intent === 'stray') stray.add(accepted, label.by);
    else wanted.add(!accepted, label.by);
  }
  return { falseAccepts: stray.proportion(), falseRejects: wanted.proportion(), unlabelled, unknown };
}
