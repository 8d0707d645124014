import { ensureInstalled } from './install.mjs';
import { checkNode, runNode } from './project.mjs';
import { isBuilt } from './stamp.mjs';

/**
 * Makes sure that what is built fits the sources; ends the program where it cannot. Builds in a process of its own,
 * so that the builder's memory does not stay with the server.
 */
export function prepare() {
  checkNode();
  ensureInstalled();
  if (isBuilt()) return;
  const status = runNode(['scripts/build.mjs', '--if-stale'], { stdio: ['ignore', 2, 2] });
  if (status !== 0) process.exit(status);
}
