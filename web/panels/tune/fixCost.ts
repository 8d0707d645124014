import type { Press } from '../../../server/engine/base/log.ts';
import type { GuardSettings } from '../../../server/engine/detect/guard.ts';
import { findPressMoments, isAcceptedAt } from '../../../server/engine/detect/presses.ts';
import { findClosedRuns } from '../../../server/engine/detect/speedRuns.ts';
import type { Fix } from '../../../server/engine/explain/fixes.ts';
import { intentOf, type Labels } from '../../../server/engine/labels/labels.ts';
import { extremesOf } from '../../charts/extremes.ts';
import { judgedMarks } from '../../state/judgedMarks.ts';
import type { Verdicts } from '../../state/verdicts.ts';

/**
 * How many more wanted presses of a take a change of the guard would refuse, for the one stray press that it is named for.
 * It is asked for whenever a zoom rests on another press: nothing but that is looked at of the others.
 */
export function moreRefusedBy(
  fix: Fix,
  settings: GuardSettings,
  verdict: Pick<Verdicts, 'signals' | 'presses' | 'moments'>,
  presses: readonly Press[],
  labels: Pick<Labels, 'presses'>,
): number {
  const { signals } = verdict;
  const changed = { ...settings, [fix.path.slice('guard.'.length)]: fix.value } as GuardSettings;
  const closed = findClosedRuns(signals, extremesOf(signals.swingSpeedDps), changed);
  const moments =
    fix.path === 'guard.decideAt' ? findPressMoments(signals, presses, changed) : verdict.moments;
  const isRefused = (press: Press, k: number) =>
    isAcceptedAt(closed, moments[k]!) === false && intentOf(labels, press)?.intent === 'wanted';
  const after = presses.filter(isRefused).length;
  return Math.max(0, after - judgedMarks(verdict.presses, labels).whole.count('wantedRefused'));
}
