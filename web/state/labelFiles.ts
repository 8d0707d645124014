import { formatLabelsCsv } from '../../server/engine/labels/labelsCsv.ts';
import { countLabels, fitLabels } from '../../server/engine/labels/labelsFile.ts';
import { formatLabelsJson } from '../../server/engine/labels/labelsJson.ts';
import { chooseFile } from './chooseFiles.ts';
import { notifyUndoable } from './history.ts';
import { changeLabels } from './labelling.ts';
import { messageOf, notify } from './notices.ts';
import { openLabels, openTake } from './openTake.ts';
import { saveFile } from './saveFile.ts';

/** Saves the open take's labels as a file. */
export function exportLabels(form: 'json' | 'csv'): void {
  const document = openTake.peek()?.document;
  if (!document) return;
  const labels = openLabels.peek();
  const text = form === 'json' ? formatLabelsJson(labels, document.title) : formatLabelsCsv(labels);
  const type = form === 'json' ? 'application/json' : 'text/csv';
  saveFile(`${document.id}.labels.${form}`, text, type);
}

/** Puts the labels of a file in the place of the open take's. */
export async function importLabels(file: File): Promise<void> {
  const take = openTake.peek();
  if (!take) return;
  try {
    const { labels, leftOut } = fitLabels(await file.text(), take.document.presses, take.durationUs);
    changeLabels(labels);
    const all = countLabels(labels);
    const said = `${all} ${all === 1 ? 'label' : 'labels'} from ${file.name} took the place of this take’s.`;
    notifyUndoable(leftOut === null ? said : `${said} ${leftOut}`);
  } catch (error) {
    notify('error', `${file.name}: ${messageOf(error)}`);
  }
}

export function pickLabels(): void {
  chooseFile('.json,.csv,application/json,text/csv', (file) => void importLabels(file));
}
