import type { Press } from '../engine/base/log.ts';
import { type FittedLabels, fitLabels } from '../engine/labels/labelsFile.ts';
import { LabelsError } from '../engine/labels/labelsRead.ts';
import { DataError } from './io.ts';
import { readText } from './openFile.ts';

/**
 * Labels from a file as the workbench exports them, JSON or a table, as far as they fit the take; see
 * `readLabelsDocument` for what else a JSON document may look like.
 * @throws DataError  naming the file and the field that is missing or wrong, or why none fits; FileError where it cannot
 * be read
 */
export function readLabels(path: string, presses: readonly Press[], durationUs: number): FittedLabels {
  const text = readText(path);
  try {
    return fitLabels(text, presses, durationUs);
  } catch (error) {
    if (error instanceof LabelsError) {
      throw new DataError('LABELS', `${path}: ${error.message}`, { file: path, path: null });
    }
    throw error;
  }
}
