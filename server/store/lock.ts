import { randomBytes } from 'node:crypto';
import { lstatSync, readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { messageOf, systemCode, WorkspaceError } from './errors.ts';
import { createWhole, moveOver, readLock } from './lockFile.ts';
import { isRunning, type Owner, ownerOf, ownProcess } from './owner.ts';

export const LOCK_NAME = 'server.lock';

/**
 * Takes the workspace for this process; the answer gives it back. A lock whose process is gone is no lock.
 *
 * The lock is a file that appears as a whole, with its contents, or not at all, so that of many that try at once one makes it.
 * A stale one is never deleted, for whoever deletes it may delete the next one by mistake. It is succeeded instead: by a file
 * whose name holds the fingerprint of the stale one, which again only one can make. Whoever made it looks once more whether the
 * stale lock still lies there; if so it is the heir, and moves its own file over it. All that came late finds another lock then.
 * @throws WorkspaceError  if another server has it, or no lock can be made
 */
export function lockWorkspace(folder: string): () => void {
  const path = join(folder, LOCK_NAME);
  const text = JSON.stringify({ ...ownProcess(), token: randomBytes(12).toString('hex') });
  refuseOdd(path);
  for (;;) {
    const chain = chainFrom(path);
    const last = chain.at(-1);
    if (last && isHeld(last.text)) throw heldBy(last.text, folder, path);
    const own = last ? successorOf(path, last.fingerprint) : path;
    if (!createWhole(own, text)) continue;
    if (!isSameChain(chain, chainFrom(path).slice(0, -1))) {
      rmSync(own, { force: true });
      continue;
    }
    if (own !== path) moveOver(own, path);
    removeRests(folder);
    return () => release(path, text);
  }
}

interface Link {
  readonly text: string;
  readonly fingerprint: string;
}

/** The lock and those that succeeded it, of processes that died on the way; the last one counts. */
function chainFrom(path: string): Link[] {
  const chain: Link[] = [];
  for (let at = path; ; ) {
    const found = readLock(at);
    if (found === null) return chain;
    chain.push(found);
    at = successorOf(path, found.fingerprint);
  }
}

function isSameChain(a: readonly Link[], b: readonly Link[]): boolean {
  return a.length === b.length && a.every(({ fingerprint }, i) => fingerprint === b[i]!.fingerprint);
}

function successorOf(path: string, fingerprint: string): string {
  return `${path}.after-${fingerprint}`;
}

function isHeld(text: string): boolean {
  const owner = ownerOf(text);
  return owner !== null && isRunning(owner);
}

function heldBy(text: string, folder: string, path: string): WorkspaceError {
  const { pid } = ownerOf(text) as Owner;
  return new WorkspaceError(
    `Another server (process ${pid}) has the workspace ${folder} open. Use that one, stop it, or choose another folder with --workspace. (If no server runs, delete ${path}.)`,
  );
}

/** @throws WorkspaceError  where something lies in the lock's place that no program of ours can have made */
function refuseOdd(path: string): void {
  let isFile: boolean;
  try {
    isFile = lstatSync(path).isFile();
  } catch (error) {
    if (systemCode(error) === 'ENOENT') return;
    throw new WorkspaceError(`${path} cannot be read: ${messageOf(error)}. Remove it if no server runs.`);
  }
  if (!isFile)
    throw new WorkspaceError(
      `${path} is no file, so this program did not make it. Move it away if no server runs, or choose another folder with --workspace.`,
    );
}

/** What those left that died on the way, or came late: none of it succeeds the lock that stands now. */
function removeRests(folder: string): void {
  for (const name of readdirSync(folder))
    if (name.startsWith(`${LOCK_NAME}.after-`)) rmSync(join(folder, name), { force: true });
}

/** Leaves a lock alone that another has taken meanwhile. */
function release(path: string, text: string): void {
  if (readLock(path)?.text === text) rmSync(path, { force: true });
}
