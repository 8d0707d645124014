import { FORMATS } from '../base/fileKind.ts';
import { candidateDocument, KEPT_VERSION } from '../settings/candidateFile.ts';
import type { KeptSetting } from './keptSetting.ts';

/** A kept setting as the value of its JSON document. */
export function keptDocument({ candidate, ...setting }: KeptSetting): Readonly<Record<string, unknown>> {
  const { name, prop, performers, note, keptAt, evidence } = setting;
  return {
    format: FORMATS.setting,
    version: KEPT_VERSION,
    name,
    prop,
    performers,
    note,
    keptAt,
    candidate: candidateDocument(candidate),
    evidence,
  };
}

export function formatKeptFile(setting: KeptSetting): string {
  return `${JSON.stringify(keptDocument(setting), null, 2)}\n`;
}
