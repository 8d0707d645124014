import type { FoundCalibration } from '../../../server/engine/check/findCalibration.ts';
import type { Labels } from '../../../server/engine/labels/labels.ts';
import { counted, plural } from '../../../server/engine/words/count.ts';
import type { CalibrationDocument } from '../../../server/http/schemas.ts';
import { notifyUndoable } from '../../state/history.ts';
import { messageOf, notify } from '../../state/notices.ts';
import { changeDocument, documentSaved, openLabels, openTake } from '../../state/openTake.ts';
import { noteBeside, step } from '../../state/steps.ts';
import { refreshWorkspace } from '../../state/workspace.ts';
import { documents } from '../../takes/documents.ts';

export const MOUNT_NOT_SAID = 'Mount not said: +x is taken.';

export type Part = 'arm' | 'mount' | 'scale';

/** The calibration with what was found in place of what is set, rounded to what anyone can tell. */
export function withFound(
  set: CalibrationDocument,
  found: FoundCalibration,
  parts: readonly Part[],
): CalibrationDocument {
  return {
    ...set,
    ...(parts.includes('arm') && found.arm ? { leverArmM: rounded(found.arm.leverArmM, 3) } : {}),
    ...(parts.includes('mount') && found.mount
      ? { mount: roundedMount(found.mount.mount), isMountStated: true }
      : {}),
    ...(parts.includes('scale') && found.scale ? { accelScale: rounded(found.scale.accelScale, 4) } : {}),
  };
}

function roundedMount({
  tip,
  side,
  correctionDeg,
}: CalibrationDocument['mount']): CalibrationDocument['mount'] {
  if (!correctionDeg) return { tip, side };
  const [x, y, z] = correctionDeg.map((part) => rounded(part, 1)) as [number, number, number];
  return { tip, side, correctionDeg: [x, y, z] };
}

function rounded(value: number, decimals: number): number {
  return Number(value.toFixed(decimals)) + 0;
}

/** The parts that are sure and differ from what is set. */
export function partsToAccept(set: CalibrationDocument, found: FoundCalibration): Part[] {
  const sure: Part[] = [];
  if (found.mount?.isSure) sure.push('mount');
  if (found.arm?.isSure) sure.push('arm');
  if (found.scale?.isSure) sure.push('scale');
  return sure.filter((part) => isNew(set, found, part));
}

export function isNew(set: CalibrationDocument, found: FoundCalibration, part: Part): boolean {
  return JSON.stringify(withFound(set, found, [part])) !== JSON.stringify(set);
}

/** Writes a calibration to the open take: a step that is taken back as any other, of this take, whichever is open then. */
export async function setCalibration(
  before: CalibrationDocument,
  after: CalibrationDocument,
  words: string,
): Promise<void> {
  const take = openTake.peek();
  if (!take) return;
  const { id, title } = take.document;
  await changeDocument({ calibration: after });
  noteBeside({
    undone: () => void put(id, before, `Undone: the calibration of “${title}” is as it was.`),
    redone: () => void put(id, after, `Done again: ${words}`),
  });
  notifyUndoable(`${words}${labelsToLookAt(before, after, openLabels.peek())}`, () => step('undone'));
}

/** What a person confirmed of the blade's motion was seen by another mount, and stays. */
export function labelsToLookAt(
  before: CalibrationDocument,
  after: CalibrationDocument,
  { spans, swings, gestures = [] }: Labels,
): string {
  if (JSON.stringify(before.mount) === JSON.stringify(after.mount)) return '';
  const count = [...spans, ...swings, ...gestures].filter(({ by }) => by === 'person').length;
  if (count === 0) return '';
  return ` ${counted(count, 'label')} that you confirmed by the old mount ${plural(count, 'stays', 'stay')}: look at ${plural(count, 'it', 'them')} again.`;
}

async function put(id: string, calibration: CalibrationDocument, words: string): Promise<void> {
  if (openTake.peek()?.document.id === id) await changeDocument({ calibration });
  else {
    try {
      const { revision } = await documents.readNow(id);
      documentSaved(await documents.patch(id, revision, { calibration }));
    } catch (error) {
      return void notify('error', messageOf(error));
    }
    await refreshWorkspace();
  }
  notify('fact', words, undefined, 'history');
}
