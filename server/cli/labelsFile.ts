import { readFileSync } from 'node:fs';
import type { Press } from '../engine/log.ts';
import type { Labels } from '../engine/truth/labels.ts';
import { parseLabelsCsv } from '../engine/truth/labelsCsv.ts';
import { parseLabelsJson } from '../engine/truth/labelsJson.ts';
import { fitToPresses, LabelsError } from '../engine/truth/labelsRead.ts';
import { DataError } from './io.ts';

/**
 * Labels from a file as the workbench exports them, JSON or (`.csv`) a table; see `readLabelsDocument` for what else a
 * JSON document may look like. Labels of presses that the log does not hold are left out.
 * @throws DataError  naming the file and the field that is missing or wrong
 */
export function readLabels(path: string, presses: readonly Press[]): Labels {
  const text = readText(path);
  try {
    const labels = /\.csv$/i.test(path) ? parseLabelsCsv(text) : parseLabelsJson(text);
    return fitToPresses(labels, presses).labels;
  } catch (error) {
    if (error instanceof LabelsError) throw new DataError(`${path}: ${error.message}`);
    throw error;
  }
}

/** @throws DataError  where there is no such file or it holds no JSON */
export function readJson(path: string): unknown {
  try {
    return JSON.parse(readText(path));
  } catch (error) {
    if (error instanceof SyntaxError) throw new DataError(`${path} holds no JSON: ${error.message}`);
    throw error;
  }
}

function readText(path: string): string {
  try {
    return readFileSync(path, 'utf8').replace(/^\uFEFF/, '');
  } catch (error) {
    throw new DataError(`${path} cannot be read (${(error as NodeJS.ErrnoException).code})`);
  }
}
