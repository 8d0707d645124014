import type { HeldMotion, Overrides, Preview, UploadBody, UploadPreview } from '../../server/http/schemas.ts';
import { awaitJob, discardUpload, startPreview, upload } from '../api.ts';

/** What has been sent of the files on their way in: each is sent once. */
const sent = new Map<File, UploadBody>();

/** The file on the server, sent now if it is not there yet. */
export async function sendOnce(
  file: File,
  onProgress: (fraction: number) => void,
  signal: AbortSignal,
): Promise<UploadBody> {
  const known = sent.get(file);
  if (known) return known;
  const body = await upload(file, onProgress, signal);
  sent.set(file, body);
  return body;
}

/** Takes files off the server again. */
export async function discardSent(files: readonly File[]): Promise<void> {
  const uploads = files.flatMap((file) => sent.get(file) ?? []);
  forgetSent(files);
  await Promise.all(uploads.map((one) => discardUpload(one.uploadId).catch(() => {})));
}

/** For files that the server has used up. */
export function forgetSent(files: readonly File[]): void {
  for (const file of files) sent.delete(file);
}

export async function previewFiles(
  uploads: readonly UploadBody[],
  overrides: Overrides,
  applyRemembered: boolean,
  onProgress: (fraction: number) => void,
  signal: AbortSignal,
): Promise<UploadPreview> {
  const uploadIds = uploads.map((one) => one.uploadId);
  const { jobId } = await startPreview({ uploadIds, overrides, applyRemembered });
  return (await awaitJob(jobId, onProgress, signal)) as UploadPreview;
}

/** The half of the motion that no column holds, while the other half is there; null where nothing or all is missing. */
export function missingHalf({ mapping }: Pick<Preview, 'mapping'>): keyof HeldMotion | null {
  const has = (kind: string) => mapping.columns.some(({ role }) => role.startsWith(kind));
  if (has('accel') === has('gyro')) return null;
  return has('accel') ? 'gyro' : 'accel';
}

/** Whether that file holds that half and no more: a whole log is a take of its own. */
export function completes({ holds }: Pick<Preview, 'holds'>, half: keyof HeldMotion, file: number): boolean {
  const held = holds[file];
  return (held?.[half] && !held[half === 'accel' ? 'gyro' : 'accel']) ?? false;
}

/** The same statements when the files stand in another order; those of files that are gone are left out. */
export function forOrder(overrides: Overrides, before: readonly File[], now: readonly File[]): Overrides {
  const { roles, reversed, ...rest } = overrides;
  const moved = <T extends { readonly file: number }>(places: readonly T[] = []): T[] =>
    places.flatMap((one) => {
      const file = now.indexOf(before[one.file]!);
      return file < 0 ? [] : [{ ...one, file }];
    });
  const [ownRoles, ownReversed] = [moved(roles), moved(reversed)];
  return {
    ...rest,
    ...(ownRoles.length > 0 ? { roles: ownRoles } : {}),
    ...(ownReversed.length > 0 ? { reversed: ownReversed } : {}),
  };
}
