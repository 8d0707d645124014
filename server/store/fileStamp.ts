import { type BigIntStats, statSync } from 'node:fs';
import { stat } from 'node:fs/promises';

/** Stamps of a file are of whole ticks of the disk's clock, on the coarsest disks of 2 s. */
const COARSEST_TICK_MS = 2500;

/** What the system says of a file, as one text: another one whenever anything was written to it, for the system's own time of change cannot be set back. */
export async function fileStamp(path: string): Promise<string | null> {
  try {
    return stampIn(await stat(path, { bigint: true }));
  } catch {
    return null;
  }
}

/** A file's stamp, and whether it is so old by now that whatever is written from here on gives another one. */
export interface SeenStamp {
  readonly stamp: string;
  readonly isSettled: boolean;
}

/** Null where no such file can be seen. Without waiting: of thousands of files the turns would cost more than the looks. */
export function seenStamp(path: string, nowMs: number): SeenStamp | null {
  try {
    const stats = statSync(path, { bigint: true });
    const newestMs = Math.max(Number(stats.mtimeNs), Number(stats.ctimeNs)) / 1e6;
    return { stamp: stampIn(stats), isSettled: newestMs < nowMs - COARSEST_TICK_MS };
  } catch {
    return null;
  }
}

function stampIn({ dev, ino, size, mtimeNs, ctimeNs }: BigIntStats): string {
  return [dev, ino, size, mtimeNs, ctimeNs].join();
}
