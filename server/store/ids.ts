import { randomBytes } from 'node:crypto';
import { TakeNotFoundError } from '../errors.ts';
import { RecordingNotFoundError, UploadNotFoundError } from './errors.ts';

/** Names a take and its folder. Made only here, so that nothing else is ever joined to the workspace's path. */
export type TakeId = string & { readonly __brand: 'TakeId' };
export type UploadId = string & { readonly __brand: 'UploadId' };
export type RecordingId = string & { readonly __brand: 'RecordingId' };

/** How the id of a take, an upload and the like is spelt. */
export const ID = /^[a-z0-9][a-z0-9-]{0,63}$/;

/** @throws TakeNotFoundError  if no take could have this id. */
export function parseTakeId(text: string): TakeId {
  if (!ID.test(text)) throw new TakeNotFoundError('No take has this id.');
  return text as TakeId;
}

/** @throws UploadNotFoundError  if no upload could have this id. */
export function parseUploadId(text: string): UploadId {
  if (!ID.test(text)) throw new UploadNotFoundError('No upload has this id.');
  return text as UploadId;
}

/** A fresh id that still says what it names: `slow-carry-4f1c09aa`. */
export function newTakeId(title: string): TakeId {
  return parseTakeId(newId(title, 'take'));
}

export function newSettingId(name: string): string {
  return newId(name, 'setting');
}

function newId(name: string, otherwise: string): string {
  const slug = name
    .normalize('NFKD')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+/, '')
    .slice(0, 48)
    .replace(/-+$/, '');
  return `${slug || otherwise}-${randomBytes(4).toString('hex')}`;
}

export function newUploadId(): UploadId {
  return parseUploadId(randomBytes(12).toString('hex'));
}

/** @throws RecordingNotFoundError  if no recording could have this id. */
export function parseRecordingId(text: string): RecordingId {
  if (!ID.test(text)) throw new RecordingNotFoundError('No recording has this id.');
  return text as RecordingId;
}

/** A fresh id that says when the recording began (UTC), and so sorts by it: `20260301-181500-4f1c09aa`. */
export function newRecordingId(nowMs: number): RecordingId {
  const stamp = new Date(nowMs).toISOString().replace(/[-:]/g, '').replace('T', '-').slice(0, 15);
  return parseRecordingId(`${stamp}-${randomBytes(4).toString('hex')}`);
}
