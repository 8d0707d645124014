import { chooseFiles } from '../state/chooseFiles.ts';
import { bringIn } from '../state/receiving.ts';

/** Starts to import the logs, or the zip of takes, that are chosen. */
export function pickFiles(): void {
  chooseFiles('.csv,.tsv,.txt,.log,text/csv,text/plain,.zip,application/zip', bringIn);
}
