/** Paths of the project, and running its tools. Node's own modules only: this runs before anything is installed. */
import { spawnSync } from 'node:child_process';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const PROJECT = dirname(dirname(fileURLToPath(import.meta.url)));
export const BUILD = join(PROJECT, '.build');

const NEEDED = [20, 19];

/** Ends the program with a clear sentence where Node is too old. */
export function checkNode() {
  const [major, minor] = process.versions.node.split('.').map(Number);
  if (major > NEEDED[0] || (major === NEEDED[0] && minor >= NEEDED[1])) return;
  console.error(
    `Moulinet needs Node ${NEEDED.join('.')} or newer; this is ${process.version}. Get a newer one from https://nodejs.org.`,
  );
  process.exit(1);
}

/** Runs a script under this Node in the project's folder; its exit code, 1 where a signal ended it. */
export function runNode(args, options = {}) {
  const { status, error } = spawnSync(process.execPath, args, { cwd: PROJECT, stdio: 'inherit', ...options });
  if (error) throw error;
  return status ?? 1;
}
