import { ID } from '../ids.ts';

/** First entry of an archive: what it is. */
export const MANIFEST_NAME = 'moulinet.json';
export const ARCHIVE_FORMAT = 'moulinet archive';
/** A higher number was written by a newer program. */
export const ARCHIVE_VERSION = 1;
export const MAPPINGS_NAME = 'mappings.json';

export interface Manifest {
  readonly format: typeof ARCHIVE_FORMAT;
  readonly version: number;
  /** ISO 8601. */
  readonly createdAt: string;
  /** In the order of the workspace. */
  readonly takes: readonly { readonly id: string; readonly title: string }[];
}

/** What an entry is by its name; null for a name that no archive has. */
export type EntryKind =
  | { readonly kind: 'manifest' | 'mappings' | 'setting' }
  | { readonly kind: 'document'; readonly takeId: string }
  | { readonly kind: 'keptSetting'; readonly id: string }
  /** `place` counts from 0 among the take's sources. */
  | { readonly kind: 'source'; readonly takeId: string; readonly place: number };

export const documentName = (takeId: string): string => `takes/${takeId}/take.json`;
export const sourceName = (takeId: string, place: number): string => `takes/${takeId}/source/${place}`;
export const settingName = (name: 'A' | 'B'): string => `settings/${name}.json`;
export const keptSettingName = (id: string): string => `settings/${id}.json`;

export function entryKind(name: string): EntryKind | null {
  if (name === MANIFEST_NAME) return { kind: 'manifest' };
  if (name === MAPPINGS_NAME) return { kind: 'mappings' };
  if (/^settings\/[AB]\.json$/.test(name)) return { kind: 'setting' };
  const id = /^settings\/(.+)\.json$/.exec(name)?.[1];
  if (id !== undefined) return ID.test(id) ? { kind: 'keptSetting', id } : null;
  const [folder, takeId = '', what, place, ...rest] = name.split('/');
  if (folder !== 'takes' || !ID.test(takeId) || rest.length > 0) return null;
  if (what === 'take.json' && place === undefined) return { kind: 'document', takeId };
  if (what === 'source' && place !== undefined && /^(0|[1-9]\d?)$/.test(place))
    return { kind: 'source', takeId, place: Number(place) };
  return null;
}
