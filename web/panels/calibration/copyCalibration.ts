import { isMountStated } from '../../../server/engine/calibrate/calibration.ts';
import { counted } from '../../../server/engine/words/count.ts';
import type { CalibrationDocument } from '../../../server/http/schemas.ts';
import { messageOf, notify } from '../../state/notices.ts';
import { refreshWorkspace } from '../../state/workspace.ts';
import { documents } from '../../takes/documents.ts';

/** Parts of a calibration that are copied: the sensor's, the performer's, or both. */
interface CopiedParts {
  readonly sensor: boolean;
  readonly arm: boolean;
}

interface Copied {
  readonly id: string;
  readonly before: CalibrationDocument;
  readonly copied: CalibrationDocument;
}

/** Gives other takes of the same prop this calibration; what they had can be brought back. */
export async function copyCalibration(
  from: CalibrationDocument,
  takeIds: readonly string[],
  parts: CopiedParts,
): Promise<void> {
  const done: Copied[] = [];
  try {
    for (const id of takeIds) {
      const { revision, calibration: before } = await documents.readNow(id);
      const { calibration } = await documents.patch(id, revision, {
        calibration: merged(before, from, parts),
      });
      done.push({ id, before, copied: calibration });
    }
    notify('fact', `Used for ${counted(done.length, 'take')}.`, {
      label: 'Undo',
      run: () => void bringBack(done),
    });
  } catch (error) {
    notify(
      'error',
      `Used for ${done.length} of ${counted(takeIds.length, 'take')}, then: ${messageOf(error)}`,
    );
  } finally {
    await refreshWorkspace();
  }
}

export function merged(
  own: CalibrationDocument,
  from: CalibrationDocument,
  parts: CopiedParts,
): CalibrationDocument {
  return {
    ...own,
    ...(parts.sensor
      ? { mount: from.mount, isMountStated: isMountStated(from), accelScale: from.accelScale }
      : {}),
    ...(parts.arm ? { leverArmM: from.leverArmM, bladeLengthM: from.bladeLengthM } : {}),
  };
}

async function bringBack(done: readonly Copied[]): Promise<void> {
  try {
    for (const { id, before, copied } of done) {
      const { title, revision, calibration } = await documents.readNow(id);
      if (JSON.stringify(calibration) !== JSON.stringify(copied))
        throw new Error(`“${title}” was calibrated again since, and keeps that calibration.`);
      await documents.patch(id, revision, { calibration: before });
    }
    notify('fact', `Brought back for ${counted(done.length, 'take')}.`);
  } catch (error) {
    notify('error', messageOf(error));
  } finally {
    await refreshWorkspace();
  }
}
