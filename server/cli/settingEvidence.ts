import { buildTimeBase } from '../engine/base/timeBase.ts';
import { PROGRAM_VERSION } from '../engine/base/version.ts';
import { performerKey } from '../engine/choose/leftOut.ts';
import { tuningFitness } from '../engine/choose/tuningFitness.ts';
import { evidenceTake } from '../engine/kept/evidenceTake.ts';
import { type AskedTake, evidenceOn } from '../engine/kept/judgeSetting.ts';
import { judgeTake } from '../engine/kept/judgeTake.ts';
import type { SettingEvidence } from '../engine/kept/keptSetting.ts';
import { computeMotion } from '../engine/motion/motion.ts';
import { computeSignals } from '../engine/motion/signals.ts';
import type { Candidate } from '../engine/settings/candidate.ts';
import { findTruth } from '../engine/truth/truth.ts';
import { type FolderTakeRead, folderTakes, NOTHING_STATED } from './folderTakes.ts';
import { checkRead } from './inspectCheck.ts';
import { DataError, UsageError } from './io.ts';

/**
 * Judges a setting on the takes of a folder, as the page does.
 * @param performers  whose takes; all where it names nobody.
 * @throws UsageError  where the folder holds no take of theirs; DataError where a take cannot be read.
 */
export async function judgeOnFolder(
  candidate: Candidate,
  folder: string,
  performers: readonly string[],
  judgedAt: string,
): Promise<SettingEvidence> {
  const keys = performers.map(performerKey);
  const asked: AskedTake[] = [];
  for (const take of folderTakes(folder, NOTHING_STATED)) {
    const read = await take.read().catch((error: unknown) => {
      if (!(error instanceof DataError)) throw error;
      throw new DataError(error.code, `${take.name}: ${error.message}`, error);
    });
    if (keys.length === 0 || keys.includes(performerKey(read.performer)))
      asked.push(judgeRead(read, candidate));
  }
  if (asked.length === 0) throw new UsageError(`${folder} holds no take of ${performers.join(' or ')}`);
  return evidenceOn(candidate, asked, { judgedAt, program: PROGRAM_VERSION });
}

function judgeRead(
  { take, facts, labels, calibration, presses, stated }: FolderTakeRead,
  candidate: Candidate,
) {
  const { uniform } = buildTimeBase(take.log, take.saturated);
  const motion = computeMotion(uniform, calibration);
  const check = checkRead(take, uniform, motion, stated);
  const unfit = tuningFitness(check, motion);
  const told = evidenceTake(facts, check, unfit);
  const { id, title, performer } = told;
  const judged = judgeTake(
    {
      ...{ id, title, performer, motion, labels },
      signals: computeSignals(motion, candidate, take.presses),
      leverArmM: calibration.leverArmM,
      presses: take.presses,
      powerPresses: presses,
      truth: findTruth(motion, labels),
      unfit: told.leftOut === null ? null : unfit,
    },
    candidate,
  );
  return { take: told, judged };
}
