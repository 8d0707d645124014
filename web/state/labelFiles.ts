import { formatLabelsCsv } from '../../server/engine/truth/labelsCsv.ts';
import { formatLabelsJson } from '../../server/engine/truth/labelsJson.ts';
import { LabelsError } from '../../server/engine/truth/labelsRead.ts';
import { counted, fitLabels } from './fitLabels.ts';
import { changeLabels } from './labelling.ts';
import { messageOf, notify } from './notices.ts';
import { openLabels, openTake } from './openTake.ts';
import { saveFile } from './saveFile.ts';
import { dispatch } from './store.ts';

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
    const all = counted(labels);
    if (all === 0) throw new LabelsError(`no label in it fits this take. ${leftOut ?? 'It holds none.'}`);
    changeLabels(labels);
    notify('fact', `${all} labels from ${file.name} took the place of this take’s. ${leftOut ?? ''}`.trim(), {
      label: 'Undo',
      run: () => dispatch({ type: 'undone' }),
    });
  } catch (error) {
    notify('error', `${file.name}: ${messageOf(error)}`);
  }
}

export function pickLabels(): void {
  const input = window.document.createElement('input');
  input.type = 'file';
  input.accept = '.json,.csv,application/json,text/csv';
  input.onchange = () => {
    const file = input.files?.[0];
    if (file) void importLabels(file);
  };
  input.click();
}
