import { recordOf } from '../../server/engine/choose/problem.ts';
import { gestureDetector, ofEachGesture } from '../../server/engine/detect/detectors.ts';
import { runTwistDial } from '../../server/engine/detect/twistDial.ts';
import type { CandidateMotion } from '../../server/engine/motion/motion.ts';
import { computeSignals } from '../../server/engine/motion/signals.ts';
import { findTruth } from '../../server/engine/truth/truth.ts';
import { FOLDING_STAVES, type FoldingStave, findMost, saysAnything } from './quietSignals.ts';
import type { OpenWants, Ready } from './requests.ts';

/** What takes all samples of a long take, computed in a thread for the candidate that is shown first. */
export function readyFor(
  motion: CandidateMotion,
  { candidate, presses: allPresses, labels }: Pick<OpenWants, 'candidate' | 'presses' | 'labels'>,
): Ready {
  const presses = candidate.twist.startAt === 'hold' ? allPresses : [];
  const signals = computeSignals(motion, candidate, presses);
  const { swingSpeedDps, thrustG, twistDeg, twistStarts, impactG } = signals;
  const fires = ofEachGesture((id) => gestureDetector(id).run(signals, candidate));
  const dial = runTwistDial(signals, candidate.twist);
  const most = recordOf(FOLDING_STAVES, (name) => findMost(name, signals));
  const isDrawn = (name: FoldingStave) =>
    saysAnything(name, candidate, labels, { fires, dial, most: () => most[name] });
  return {
    of: candidate,
    presses,
    columns: {
      swingSpeedDps,
      thrustG,
      twistStarts,
      ...(isDrawn('twist') ? { twistDeg } : {}),
      ...(isDrawn('impact') ? { impactG } : {}),
    },
    fires,
    dial,
    most,
    labels: { spans: labels.spans, swings: labels.swings },
    truth: findTruth(motion, labels),
  };
}
