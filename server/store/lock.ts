import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { systemCode, WorkspaceError } from './errors.ts';

export const LOCK_NAME = 'server.lock';

/** A process that has something to itself. */
export interface Owner {
  readonly pid: number;
  /** When that process started, in the system's own count; null where the system does not say. */
  readonly started: string | null;
}

/**
 * Takes the workspace for this process; the answer gives it back. A lock whose process is gone is no lock. Without
 * awaiting, so that a second server finds the lock written, not half written.
 * @throws WorkspaceError  if another server has it.
 */
export function lockWorkspace(folder: string): () => void {
  const path = join(folder, LOCK_NAME);
  const text = JSON.stringify(ownProcess());
  while (!create(path, text)) {
    const other = readOwner(path);
    if (other && isRunning(other)) {
      throw new WorkspaceError(
        `Another server (process ${other.pid}) has the workspace ${folder} open. Use that one, stop it, or choose another folder with --workspace. (If no server runs, delete ${path}.)`,
      );
    }
    rmSync(path, { force: true });
  }
  return () => release(path, text);
}

export function ownProcess(): Owner {
  return { pid: process.pid, started: startOf(process.pid) };
}

function create(path: string, text: string): boolean {
  try {
    writeFileSync(path, text, { flag: 'wx' });
    return true;
  } catch (error) {
    if (systemCode(error) === 'EEXIST') return false;
    throw error;
  }
}

/** Leaves a lock alone that another has taken meanwhile. */
function release(path: string, text: string): void {
  try {
    if (readFileSync(path, 'utf8') === text) rmSync(path);
  } catch (error) {
    if (systemCode(error) !== 'ENOENT') throw error;
  }
}

function readOwner(path: string): Owner | null {
  try {
    const owner: Partial<Owner> = JSON.parse(readFileSync(path, 'utf8'));
    return Number.isInteger(owner.pid) ? { pid: owner.pid!, started: owner.started ?? null } : null;
  } catch {
    return null;
  }
}

/** Numbers of processes are given out again, so where the system tells it the start must agree too. */
export function isRunning(owner: Owner): boolean {
  if (owner.pid === process.pid) return owner.started === startOf(process.pid);
  try {
    process.kill(owner.pid, 0);
  } catch (error) {
    // EPERM: it runs, under another user.
    if (systemCode(error) !== 'EPERM') return false;
  }
  const started = startOf(owner.pid);
  return started === null || owner.started === null || started === owner.started;
}

/** Field 22 of /proc/<pid>/stat; the name in field 2 may hold spaces, so the count starts at its closing bracket. */
function startOf(pid: number): string | null {
  try {
    const stat = readFileSync(`/proc/${pid}/stat`, 'utf8');
    return stat.slice(stat.lastIndexOf(')') + 2).split(' ')[19] ?? null;
  } catch {
    return null;
  }
}
