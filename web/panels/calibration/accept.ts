import type { FoundCalibration } from '../../../server/engine/check/findCalibration.ts';
import type { CalibrationDocument } from '../../../server/http/schemas.ts';
import { notify } from '../../state/notices.ts';
import { changeDocument } from '../../state/openTake.ts';

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

/** Writes a calibration to the open take; what it was can be brought back. */
export async function setCalibration(
  before: CalibrationDocument,
  after: CalibrationDocument,
  words: string,
): Promise<void> {
  await changeDocument({ calibration: after });
  notify('fact', words, { label: 'Undo', run: () => void changeDocument({ calibration: before }) });
}
