import { ApiError } from '../api.ts';
import { fileLikeness } from './fileLikeness.ts';
import { completes, forOrder, missingHalf, previewFiles, sendOnce } from './importFiles.ts';
import {
  adopt,
  change,
  type Import,
  importing,
  type Reading,
  setWaiting,
  toApply,
  waitingFiles,
} from './importState.ts';
import { messageOf } from './notices.ts';

/**
 * Half of the motion is missing: of the files that wait, the first that holds the other half and shares the clock
 * joins, those with the likest names first.
 */
export async function joinHalf(signal: AbortSignal): Promise<void> {
  const alone = importing.peek();
  const half = alone?.reading ? missingHalf(alone.reading.preview) : null;
  if (!alone || half === null || waitingFiles().length === 0) return;
  const names = alone.files.map((file) => file.name).join(' ');
  const refusals: string[] = [];
  const tried = new Set<File>();
  // Asked anew each time: more may be dropped meanwhile.
  for (let other = likest(names, tried); other; other = likest(names, tried)) {
    tried.add(other);
    const found = await tryJoin(alone, other, half, signal);
    if (signal.aborted) return;
    if (typeof found !== 'string') {
      setWaiting(waitingFiles().filter((one) => one !== other));
      change({ joinNote: null });
      return adopt(found.files, found.preview, signal);
    }
    refusals.push(found);
  }
  change({ stage: 'ready', joinNote: refusals.join(' ') });
}

/** The waiting file with the likest name that was not tried yet; of several the first. */
function likest(names: string, tried: ReadonlySet<File>): File | undefined {
  return waitingFiles()
    .filter((file) => !tried.has(file))
    .sort((a, b) => fileLikeness(names, b.name) - fileLikeness(names, a.name))[0];
}

/** The two as one take, or why they are none. */
async function tryJoin(
  alone: Import,
  other: File,
  half: 'accel' | 'gyro',
  signal: AbortSignal,
): Promise<Reading | string> {
  const onProgress = (progress: number): void => change({ progress });
  change({ stage: 'reading', progress: 0 });
  // The accelerometer's first, whichever came first: so the same two are the same shape of log.
  const files = half === 'accel' ? [other, ...alone.files] : [...alone.files, other];
  const stated = forOrder(alone.overrides, alone.files, files);
  try {
    const uploads = [];
    for (const file of files) uploads.push(await sendOnce(file, onProgress, signal));
    const applies = toApply(alone) === 'apply';
    const preview = await previewFiles(uploads, stated, applies, onProgress, signal);
    if (completes(preview, half, files.indexOf(other))) {
      if (applies) change({ memory: 'apply' });
      return { files, overrides: preview.stated, preview };
    }
    return `${other.name} does not hold the missing half alone: it stays a take of its own.`;
  } catch (error) {
    if (signal.aborted || (error instanceof ApiError && error.code === 'OFFLINE')) throw error;
    return `${other.name} does not complete this take: ${messageOf(error)}.`;
  }
}
