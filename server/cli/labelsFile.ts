import type { Press } from '../engine/base/log.ts';
import { AXIS_NAMES, type Mount } from '../engine/base/mount.ts';
import { LabelsError } from '../engine/labels/labelsRead.ts';
import { type ImportedLabels, readLabelFile } from '../engine/words/labelFile.ts';
import { DataError } from './io.ts';
import { readText } from './openFile.ts';

/**
 * Labels from a file as the workbench exports them, JSON or a table, as far as they fit the take; see
 * `readLabelsDocument` for what else a JSON document may look like.
 * @throws DataError  naming the file and the field that is missing or wrong, or why none fits; FileError where it cannot
 * be read
 */
export function readLabels(path: string, presses: readonly Press[], durationUs: number): ImportedLabels {
  const text = readText(path);
  try {
    return readLabelFile(text, presses, durationUs);
  } catch (error) {
    if (error instanceof LabelsError) {
      throw new DataError('LABELS', `${path}: ${error.message}`, { file: path, path: null });
    }
    throw error;
  }
}

/** How the sensor sits, where a file of labels is a simulation's truth and knows it; null otherwise. */
export function mountInTruth(path: string): Mount | null {
  if (!path.endsWith('.truth.json')) return null;
  const { sensor } = JSON.parse(readText(path)) as { readonly sensor?: { readonly mount?: Partial<Mount> } };
  const { tip, side } = sensor?.mount ?? {};
  const axis = (name: unknown) => AXIS_NAMES.find((one) => one === name);
  const [own, across] = [axis(tip), axis(side)];
  return own && across && own[1] !== across[1] ? { tip: own, side: across } : null;
}
