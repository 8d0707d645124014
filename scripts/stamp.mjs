/** Whether what is built comes from the sources as they are now. */
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { BUILD, PROJECT } from './project.mjs';

const FOLDERS = ['server', 'web', 'scripts'];
const FILES = ['package-lock.json', 'tsconfig.json'];
const NAME = 'stamp';

export const STAMP_PATH = join(BUILD, NAME);

export function isBuilt() {
  try {
    return readFileSync(STAMP_PATH, 'utf8') === sourcesStamp();
  } catch {
    return false;
  }
}

/** A hash of the names and contents of everything that goes into the build. */
export function sourcesStamp(project = PROJECT) {
  const hash = createHash('sha256');
  for (const path of [...FOLDERS.flatMap((folder) => filesIn(join(project, folder))), ...FILES]) {
    const full = path.startsWith(project) ? path : join(project, path);
    const bytes = readFileSync(full);
    hash.update(`${relative(project, full)}\n${bytes.length}\n`).update(bytes);
  }
  return hash.digest('hex');
}

function filesIn(folder) {
  const entries = readdirSync(folder, { withFileTypes: true }).sort((a, b) => (a.name < b.name ? -1 : 1));
  return entries.flatMap((entry) => {
    const path = join(folder, entry.name);
    return entry.isDirectory() ? filesIn(path) : [path];
  });
}
