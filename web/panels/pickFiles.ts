import { chooseFiles } from '../state/chooseFiles.ts';
import { importFiles } from '../state/importing.ts';

/** Starts to import the logs that are chosen. */
export function pickFiles(): void {
  chooseFiles('.csv,.tsv,.txt,.log,text/csv,text/plain', importFiles);
}
