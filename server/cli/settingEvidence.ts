import { buildTimeBase } from '../engine/base/timeBase.ts';
import { PROGRAM_VERSION } from '../engine/base/version.ts';
import { judgeOn } from '../engine/kept/judgeOn.ts';
import { type AskedTake, evidenceOn } from '../engine/kept/judgeSetting.ts';
import type { KeptSetting, SettingEvidence } from '../engine/kept/keptSetting.ts';
import { takesFor } from '../engine/kept/stale.ts';
import { computeMotion } from '../engine/motion/motion.ts';
import type { Candidate } from '../engine/settings/candidate.ts';
import { type FolderTakeRead, folderTakes, NOTHING_STATED } from './folderTakes.ts';
import { checkRead } from './inspectCheck.ts';
import { DataError, UsageError } from './io.ts';

/**
 * Judges a setting on the takes of a folder, as the page does.
 * @param whose  whose takes, and of which prop; all where it names none.
 * @throws UsageError  where the folder holds no take of theirs; DataError where a take cannot be read.
 */
export async function judgeOnFolder(
  candidate: Candidate,
  folder: string,
  whose: Pick<KeptSetting, 'performers' | 'prop'>,
  judgedAt: string,
): Promise<SettingEvidence> {
  const asked: AskedTake[] = [];
  for (const take of folderTakes(folder, NOTHING_STATED)) {
    const read = await take.read().catch((error: unknown) => {
      if (!(error instanceof DataError)) throw error;
      throw new DataError(error.code, `${take.name}: ${error.message}`, error);
    });
    const { performer, prop = '' } = read.facts;
    if (takesFor(whose, [{ performer, prop }]).length > 0) asked.push(judgeRead(read, candidate));
  }
  if (asked.length === 0)
    throw new UsageError(`${folder} holds no take of the setting’s performers and prop`);
  return evidenceOn(candidate, asked, { judgedAt, program: PROGRAM_VERSION });
}

function judgeRead(read: FolderTakeRead, candidate: Candidate): AskedTake {
  const { take, facts, labels, calibration, presses: powerPresses, stated } = read;
  const { uniform } = buildTimeBase(take.log, take.saturated);
  const motion = computeMotion(uniform, calibration);
  const check = checkRead(take, uniform, motion, stated);
  const { presses } = take;
  return judgeOn({ facts, motion, check, labels, presses, powerPresses, calibration }, candidate);
}
