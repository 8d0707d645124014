import { createHash, randomInt } from 'node:crypto';
import {
  closeSync,
  fsyncSync,
  linkSync,
  openSync,
  readFileSync,
  renameSync,
  rmSync,
  writeSync,
} from 'node:fs';
import { systemCode } from './errors.ts';

/** What a lock holds; its fingerprint is that of its text, which no two processes write alike. */
export function readLock(path: string): { readonly text: string; readonly fingerprint: string } | null {
  try {
    const text = readFileSync(path, 'utf8');
    return { text, fingerprint: createHash('sha256').update(text).digest('hex').slice(0, 32) };
  } catch (error) {
    if (systemCode(error) === 'ENOENT') return null;
    throw error;
  }
}

/**
 * Makes a file that nobody ever sees without its contents: written under a name of its own, then linked.
 * @returns whether it was made; false where there is one already
 */
export function createWhole(path: string, text: string): boolean {
  const temp = `${path}.${process.pid}-${randomInt(2 ** 40)}.tmp`;
  try {
    writeNew(temp, text);
    return made(() => linkSync(temp, path), path, text);
  } finally {
    rmSync(temp, { force: true });
  }
}

/** Where the file system knows no links (exFAT, some shares) the file is made and then written. */
function made(link: () => void, path: string, text: string): boolean {
  try {
    link();
    return true;
  } catch (error) {
    const code = systemCode(error);
    // Whoever took the workspace meanwhile has cleared the file away that was to be linked.
    if (code === 'EEXIST' || code === 'ENOENT') return false;
    if (code === null || !NO_LINKS.includes(code)) throw error;
  }
  try {
    writeNew(path, text);
    return true;
  } catch (error) {
    if (systemCode(error) === 'EEXIST') return false;
    throw error;
  }
}

const NO_LINKS = ['EPERM', 'ENOTSUP', 'EOPNOTSUPP', 'ENOSYS', 'EMLINK'];

export function moveOver(from: string, to: string): void {
  renameSync(from, to);
}

function writeNew(path: string, text: string): void {
  const file = openSync(path, 'wx');
  try {
    writeSync(file, text);
    fsyncSync(file);
  } finally {
    closeSync(file);
  }
}
