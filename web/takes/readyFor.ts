import type { Press } from '../../server/engine/base/log.ts';
import { gestureDetector, ofEachGesture } from '../../server/engine/detect/detectors.ts';
import { runTwistDial } from '../../server/engine/detect/twistDial.ts';
import type { CandidateMotion } from '../../server/engine/motion/motion.ts';
import { computeSignals } from '../../server/engine/motion/signals.ts';
import type { Candidate } from '../../server/engine/settings/candidate.ts';
import type { Ready } from './requests.ts';

/** What takes all samples of a long take, computed in a thread for the candidate that is shown first. */
export function readyFor(candidate: Candidate, motion: CandidateMotion, allPresses: readonly Press[]): Ready {
  const presses = candidate.twist.startAt === 'hold' ? allPresses : [];
  const signals = computeSignals(motion, candidate, presses);
  const { swingSpeedDps, thrustG, twistDeg, twistStarts, impactG } = signals;
  return {
    of: candidate,
    presses,
    columns: { swingSpeedDps, thrustG, twistDeg, twistStarts, impactG },
    fires: ofEachGesture((id) => gestureDetector(id).run(signals, candidate)),
    dial: runTwistDial(signals, candidate.twist),
  };
}
