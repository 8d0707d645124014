import { importFiles } from '../state/importing.ts';

/** Opens the system's file chooser and starts to import what is chosen. */
export function pickFiles(): void {
  const input = document.createElement('input');
  input.type = 'file';
  input.multiple = true;
  input.accept = '.csv,.tsv,.txt,.log,text/csv,text/plain';
  input.onchange = () => importFiles([...(input.files ?? [])]);
  input.click();
}
