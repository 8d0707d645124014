import { readFileSync } from 'node:fs';
import { systemCode } from './errors.ts';

/** A process that has something to itself. */
export interface Owner {
  readonly pid: number;
  /** When that process started, in the system's own count; null where the system does not say. */
  readonly started: string | null;
}

export function ownProcess(): Owner {
  return { pid: process.pid, started: startOf(process.pid) };
}

/** The process that a lock names; null for a text that names none, as one that a crash cut short. */
export function ownerOf(text: string): Owner | null {
  try {
    const { pid, started = null }: Partial<Owner> = JSON.parse(text) ?? {};
    return isProcess(pid) ? { pid, started } : null;
  } catch {
    return null;
  }
}

/** 0 and below stand for groups of processes: a signal to them arrives, whoever is gone. */
function isProcess(pid: unknown): pid is number {
  return Number.isInteger(pid) && (pid as number) > 0 && (pid as number) <= 2 ** 31 - 1;
}

/** Numbers of processes are given out again, so where the system tells it the start must agree too. */
export function isRunning(owner: Owner): boolean {
  if (!isProcess(owner.pid)) return false;
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
