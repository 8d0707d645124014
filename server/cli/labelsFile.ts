import type { Press } from '../engine/log.ts';
import type { Labels } from '../engine/truth/labels.ts';
import { parseLabelsCsv } from '../engine/truth/labelsCsv.ts';
import { parseLabelsJson } from '../engine/truth/labelsJson.ts';
import { fitToPresses, LabelsError } from '../engine/truth/labelsRead.ts';
import { DataError } from './io.ts';
import { readText } from './openFile.ts';

/**
 * Labels from a file as the workbench exports them, JSON or (`.csv`) a table; see `readLabelsDocument` for what else a
 * JSON document may look like. Labels of presses that the log does not hold are left out.
 * @throws DataError  naming the file and the field that is missing or wrong; FileError where it cannot be read
 */
export function readLabels(path: string, presses: readonly Press[]): Labels {
  const text = readText(path);
  try {
    const labels = /\.csv$/i.test(path) ? parseLabelsCsv(text) : parseLabelsJson(text);
    return fitToPresses(labels, presses).labels;
  } catch (error) {
    if (error instanceof LabelsError) {
      throw new DataError('LABELS', `${path}: ${error.message}`, { file: path, path: null });
    }
    throw error;
  }
}
