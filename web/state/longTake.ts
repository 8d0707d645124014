import type { Press } from '../../server/engine/base/log.ts';
import {
  type GestureDetectorId,
  type GestureSettings,
  gestureDetector,
} from '../../server/engine/detect/detectors.ts';
import { type DialSteps, runTwistDial } from '../../server/engine/detect/twistDial.ts';
import type { TwistSettings } from '../../server/engine/detect/twistTrigger.ts';
import type { CandidateMotion } from '../../server/engine/motion/motion.ts';
import {
  computeSignals,
  heldSignals,
  type SignalSettings,
  type Signals,
} from '../../server/engine/motion/signals.ts';
import { findTruth, type Truth } from '../../server/engine/truth/truth.ts';
import { lapsing } from '../takes/lapsing.ts';
import { LongMotion } from '../takes/longMotion.ts';
import type { Ready, TruthLabels } from '../takes/requests.ts';

/** All that a candidate's signals depend on. */
export function signalKey({ smoothing, impact, twist }: SignalSettings): string {
  return JSON.stringify([smoothing, impact.highPassHz, twist.startAt]);
}

/** What a thread has found in signals. */
const found = new WeakMap<Signals, Pick<Ready, 'of' | 'fires' | 'dial' | 'most'>>();

/**
 * A candidate's signals: of a long take only the speed is kept, and the rest made again as it is asked for.
 * @param ready  what came with the take; it serves where it is of these settings.
 */
export function signalsFor(
  motion: CandidateMotion,
  candidate: SignalSettings,
  presses: readonly Press[],
  deflectionPresses: readonly Press[] | null,
  ready: Ready | null,
): Signals {
  if (!(motion instanceof LongMotion)) return computeSignals(motion, candidate, presses, deflectionPresses);
  const isMine =
    ready !== null && signalKey(ready.of) === signalKey(candidate) && isAlike(ready.presses, presses);
  const mine = isMine ? ready : null;
  const signals = heldSignals(motion, candidate, presses, deflectionPresses, lapsing, mine?.columns);
  if (mine) found.set(signals, { of: mine.of, fires: mine.fires, dial: mine.dial, most: mine.most });
  return signals;
}

/** Where a detector fires: as a thread has found it, if that went by the same settings, or found now. */
export function firesOf(id: GestureDetectorId, signals: Signals, settings: GestureSettings): Int32Array {
  const { run, restsOn } = gestureDetector(id);
  const known = found.get(signals);
  const isSame = known && restsOn.every((group) => isAlike(known.of[group], settings[group]));
  return isSame ? known.fires[id] : run(signals, settings);
}

export function dialOf(signals: Signals, settings: TwistSettings): readonly DialSteps[] {
  const known = found.get(signals);
  return known && isAlike(known.of.twist, settings) ? known.dial : runTwistDial(signals, settings);
}

/** How far signals go that are not always shown, if a thread has found it. */
export function readyMost(signals: Signals): Ready['most'] | undefined {
  return found.get(signals)?.most;
}

/** The truth of a take: as a thread has found it, if that went by the same labels, or found now. */
export function truthOf(motion: CandidateMotion, labels: TruthLabels, ready: Ready | null): Truth {
  return ready && isAlike(ready.labels, labels) ? ready.truth : findTruth(motion, labels);
}

function isAlike(one: object, other: object): boolean {
  return one === other || JSON.stringify(one) === JSON.stringify(other);
}
