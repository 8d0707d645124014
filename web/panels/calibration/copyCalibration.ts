import { counted } from '../../../server/engine/words/count.ts';
import type { CalibrationDocument } from '../../../server/http/schemas.ts';
import { fetchTake, patchTake } from '../../api.ts';
import { messageOf, notify } from '../../state/notices.ts';
import { refreshWorkspace } from '../../state/workspace.ts';

/** What goes along: the sensor's own part, the performer's own part, or both. */
export interface CopiedParts {
  readonly sensor: boolean;
  readonly arm: boolean;
}

interface Copied {
  readonly id: string;
  readonly before: CalibrationDocument;
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
      const { revision, calibration } = await fetchTake(id);
      await patchTake(id, { revision, calibration: merged(calibration, from, parts) });
      done.push({ id, before: calibration });
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
    ...(parts.sensor ? { mount: from.mount, accelScale: from.accelScale } : {}),
    ...(parts.arm ? { leverArmM: from.leverArmM, bladeLengthM: from.bladeLengthM } : {}),
  };
}

async function bringBack(copied: readonly Copied[]): Promise<void> {
  try {
    for (const { id, before } of copied) {
      const { revision } = await fetchTake(id);
      await patchTake(id, { revision, calibration: before });
    }
    notify('fact', `Brought back for ${counted(copied.length, 'take')}.`);
  } catch (error) {
    notify('error', messageOf(error));
  } finally {
    await refreshWorkspace();
  }
}
