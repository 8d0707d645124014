import { computed } from '@preact/signals';
import { PROGRAM_VERSION } from '../../server/engine/base/version.ts';
import { basisFingerprint } from '../../server/engine/kept/evidenceTake.ts';
import { type Change, changesSince, settingFor, type TakeNow } from '../../server/engine/kept/stale.ts';
import type { StoredSetting, TakeDocument, TakeSummary } from '../../server/http/schemas.ts';
import { documents } from '../takes/documents.ts';
import { keptSettings } from './keptSettings.ts';
import { workspace } from './workspace.ts';

const fingerprints = new WeakMap<TakeDocument, string>();

/** The takes of the workspace with what a judgement of them rests on now: what was saved since it was listed counts. */
export const takesNow = computed<readonly (TakeNow & TakeSummary)[]>(() =>
  (workspace.value?.takes ?? []).map((take) => {
    const document = documents.known(take.id, take.revision + 1);
    return document ? { ...take, fingerprint: fingerprintOf(document) } : take;
  }),
);

/** What has changed since each setting was judged, by its id. */
export const changesById = computed<ReadonlyMap<string, readonly Change[]>>(
  () =>
    new Map(
      (keptSettings.value ?? []).map((setting) => [
        setting.id,
        changesSince(setting, takesNow.value, PROGRAM_VERSION),
      ]),
    ),
);

/** The setting of a take's performer; null where none is kept. */
export function ownSetting(take: Pick<TakeSummary, 'performer' | 'prop'>): StoredSetting | null {
  return settingFor(take, keptSettings.value ?? []);
}

function fingerprintOf(document: TakeDocument): string {
  const known = fingerprints.get(document) ?? basisFingerprint(document);
  fingerprints.set(document, known);
  return known;
}
