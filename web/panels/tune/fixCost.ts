import type { Press } from '../../../server/engine/base/log.ts';
import type { GuardSettings } from '../../../server/engine/detect/guard.ts';
import { judgePresses, type PressVerdict } from '../../../server/engine/detect/presses.ts';
import { findClosedRuns } from '../../../server/engine/detect/speedRuns.ts';
import type { Fix } from '../../../server/engine/explain/fixes.ts';
import type { Labels } from '../../../server/engine/labels/labels.ts';
import type { SpeedSignals } from '../../../server/engine/motion/signals.ts';
import { extremesOf } from '../../charts/extremes.ts';
import { markPresses } from './worst.ts';

/** How many more wanted presses of a take a change of the guard would refuse, for the one stray press that it is named for. */
export function moreRefusedBy(
  fix: Fix,
  settings: GuardSettings,
  signals: SpeedSignals,
  verdicts: readonly PressVerdict[],
  presses: readonly Press[],
  labels: Pick<Labels, 'presses'>,
): number {
  const changed = { ...settings, [fix.path.slice('guard.'.length)]: fix.value } as GuardSettings;
  const closed = findClosedRuns(signals, extremesOf(signals.swingSpeedDps), changed);
  const after = judgePresses(signals, closed, presses, changed);
  const refused = (all: readonly PressVerdict[]) =>
    markPresses(all, labels).filter(({ fate }) => fate === 'wantedRefused').length;
  return Math.max(0, refused(after) - refused(verdicts));
}
