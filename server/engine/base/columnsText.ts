import { READING_VERSION } from './version.ts';

/** All that a take's columns are read from. */
export interface ReadFrom {
  readonly sources: readonly { readonly sha256: string }[];
  readonly mapping: unknown;
}

/** As text: another text means other columns. Its SHA-256 stands in the file of columns that were read so. */
export function columnsText({ sources, mapping }: ReadFrom): string {
  const parts = { version: READING_VERSION, sources: sources.map(({ sha256 }) => sha256), mapping };
  return JSON.stringify(parts);
}
