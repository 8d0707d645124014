import { runGuard } from '../detect/guard.ts';
import { judgePresses } from '../detect/presses.ts';
import { sampleOf } from '../detect/pressRule.ts';
import { GESTURE_KINDS, intentOf, settleGestures } from '../labels/labels.ts';
import { computeBladePath } from '../motion/bladePath.ts';
import { lightAt, lightOver } from '../replay/light.ts';
import { stillBlade } from '../replay/still.ts';
import type { Candidate } from '../settings/candidate.ts';
import { pressReason } from '../words/presses.ts';
import type { WrongPressStill } from './keptSetting.ts';
import type { SettingTake } from './settingTake.ts';

/** So many of a take are kept, the first ones; and so many of a setting. */
const OF_TAKE = 3;
export const STILLS_AT_MOST = 6;

/** Stray presses let through and wanted ones refused, each with the blade as it was then. */
export function stillsOf(take: SettingTake, { guard }: Candidate): WrongPressStill[] {
  const { id: takeId, title, motion, signals, labels, powerPresses, leverArmM, truth } = take;
  const closed = runGuard(signals, guard);
  const verdicts = judgePresses(signals, closed, powerPresses, guard);
  const wrong = verdicts.flatMap((verdict) => {
    const intent = intentOf(labels, verdict.press)?.intent;
    const isWrong = verdict.accepted === (intent === 'stray');
    if ((intent !== 'stray' && intent !== 'wanted') || verdict.accepted === null || !isWrong) return [];
    const atUs = verdict.decidedUs ?? verdict.press.downUs;
    const index = sampleOf(signals, atUs);
    return index === null ? [] : [{ intent, verdict, atUs, index }];
  });
  if (wrong.length === 0) return [];
  const path = computeBladePath(motion, leverArmM);
  const gestures = GESTURE_KINDS.flatMap((kind) => settleGestures(labels, kind));
  const middles = gestures.map(({ startUs, endUs }) => (startUs + endUs) / 2);
  const light = lightOver({
    durationUs: motion.timeUs.at(-1) ?? 0,
    verdicts,
    labels,
    movesUs: [...truth.swings.map(({ peakUs }) => peakUs), ...middles],
  });
  return wrong.slice(0, OF_TAKE).map(({ intent, verdict, atUs, index }) => ({
    takeId,
    title,
    atUs,
    intent,
    text: pressReason(verdict, intent),
    // As it was up to the press.
    light: lightAt(light, Math.max(0, atUs - 1)),
    ...stillBlade(path, motion, closed, index),
  }));
}
