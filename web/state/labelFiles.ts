import { countLabels } from '../../server/engine/labels/labelsFit.ts';
import { formatLabelsCsv, formatLabelsJson } from '../../server/engine/labels/labelsWrite.ts';
import { counted } from '../../server/engine/words/count.ts';
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
    // With the reader of tables, which is as large as a view of the page.
    const { readLabelFile } = await import('../../server/engine/words/labelFile.ts');
    const { labels, leftOut } = readLabelFile(await file.text(), take.document.presses, take.durationUs);
    changeLabels(labels);
    const said = `${counted(countLabels(labels), 'label')} from ${file.name} took the place of this take’s.`;
    notifyUndoable(leftOut === null ? said : `${said} ${leftOut}`);
  } catch (error) {
    notify('error', `${file.name}: ${messageOf(error)}`);
  }
}

export function pickLabels(): void {
  chooseFile('.json,.csv,application/json,text/csv', (file) => void importLabels(file));
}
