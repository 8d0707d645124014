/** Installs the packages where those in node_modules are not the ones that package-lock.json asks for. */
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { PROJECT } from './project.mjs';

/** Tells on stderr what it does, so that stdout stays free for answers. Ends the program if it fails. */
export function ensureInstalled() {
  if (isInstalled()) return;
  console.error('Installing the packages (only needed once, or after an update) ...');
  if (runNpm(['ci', '--no-audit', '--no-fund', '--loglevel=error']) === 0) return;
  console.error(
    'The packages could not be installed: see above. This needs a connection to the npm registry.',
  );
  process.exit(1);
}

/** npm notes in node_modules what it put there. */
export function isInstalled(project = PROJECT) {
  const wanted = readPackages(join(project, 'package-lock.json'));
  const found = readPackages(join(project, 'node_modules', '.package-lock.json'));
  if (!found) return false;
  return Object.entries(wanted ?? {}).every(([path, { version, optional }]) => {
    // The project itself, and what other systems need.
    if (path === '' || (optional && !found[path])) return true;
    return found[path]?.version === version;
  });
}

function readPackages(path) {
  try {
    return JSON.parse(readFileSync(path, 'utf8')).packages ?? null;
  } catch {
    return null;
  }
}

function runNpm(args) {
  const script = process.env.npm_execpath;
  const options = { cwd: PROJECT, stdio: ['ignore', 2, 2] };
  if (script?.endsWith('.js')) return spawnSync(process.execPath, [script, ...args], options).status ?? 1;
  // On Windows npm is a batch file, which only a shell can run.
  return spawnSync('npm', args, { ...options, shell: process.platform === 'win32' }).status ?? 1;
}
