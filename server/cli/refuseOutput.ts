import { existsSync, realpathSync, statSync } from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import { readFileHead } from '../ingest/layout/fileHead.ts';
import { motionIn } from '../ingest/roles/roles.ts';
import { systemCode } from '../store/errors.ts';
import { DOCUMENT, isOwn } from '../store/workspaceFolder.ts';
import { fileSource } from './fileSource.ts';
import { UsageError } from './io.ts';

/** An output, and what it must not be. */
export interface OutputPlace {
  /** The option that names it, as it is typed. */
  readonly option: string;
  readonly path: string;
  /** Files that the command reads. */
  readonly inputs: readonly string[];
}

/** What this program itself writes as tables begins so. */
const OWN_TABLES = ['time_s,swing_speed_dps,'];

/**
 * Refuses an output that would take something away that cannot be made again: a file that the command reads, however either is
 * spelt and through whatever links; a file of a workspace, which only the program itself writes; a recording, whoever it belongs to.
 * @throws UsageError  naming it, and what to do
 */
export async function refuseOutput({ option, path, inputs }: OutputPlace): Promise<void> {
  refuseInputs(option, path, inputs);
  const workspace = workspaceOf(path);
  if (workspace !== null)
    throw new UsageError(
      `${option}: ${path} belongs to the workspace ${workspace}, which only the program itself writes: give a place outside of it`,
    );
  if (await isRecording(path))
    throw new UsageError(
      `${option}: ${path} holds a recording, and would be overwritten: give another name, or move the file away first`,
    );
}

/** Two names are one file where device and inode are the same. */
function refuseInputs(option: string, output: string, inputs: readonly string[]): void {
  const own = identityOf(output);
  if (own === null) return;
  const input = inputs.find((path) => identityOf(path) === own);
  if (input === undefined) return;
  const same = input === output ? 'is' : `is the same file as ${input},`;
  throw new UsageError(
    `${option}: ${output} ${same} a file that the command reads, and would be overwritten: give another name`,
  );
}

/** The workspace whose own file or folder a path lies in; null for none. What else a user keeps beside them is the user's. */
function workspaceOf(path: string): string | null {
  let part = realOf(resolve(path));
  for (;;) {
    const above = dirname(part);
    if (above === part) return null;
    if (existsSync(join(above, DOCUMENT)) && existsSync(join(above, 'takes')) && isOwn(basename(part)))
      return above;
    part = above;
  }
}

/** The path behind links, as far as it is there. */
function realOf(path: string): string {
  try {
    return realpathSync(path);
  } catch {
    const above = dirname(path);
    return above === path ? path : join(realOf(above), basename(path));
  }
}

async function isRecording(path: string): Promise<boolean> {
  try {
    if (!statSync(path).isFile()) return false;
    const source = fileSource(path);
    if (await beginsAsOwn(source)) return false;
    const { accel, gyro } = motionIn(await readFileHead(source, 0));
    return accel || gyro;
  } catch {
    return false;
  }
}

async function beginsAsOwn(source: ReturnType<typeof fileSource>): Promise<boolean> {
  for await (const chunk of source.open()) {
    const text = Buffer.from(chunk.subarray(0, 200)).toString('latin1');
    return OWN_TABLES.some((table) => text.startsWith(table));
  }
  return true;
}

/** The file on disk that a name stands for; null where there is none. */
function identityOf(path: string): string | null {
  try {
    const { dev, ino } = statSync(path, { bigint: true });
    return `${dev} ${ino}`;
  } catch (error) {
    if (systemCode(error) !== null) return null;
    throw error;
  }
}
