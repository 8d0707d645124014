/** Runs a program of the project by its name: `node scripts/cli.mjs NAME [arguments]`. */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { prepare } from './prepare.mjs';
import { BUILD } from './project.mjs';

/** Built file, and whether that file serves several programs and so wants to be told the name. */
const PROGRAMS = {
  inspect: { file: 'cli.js', isShared: true },
  evaluate: { file: 'cli.js', isShared: true },
  export: { file: 'cli.js', isShared: true },
  gate: { file: 'cli.js', isShared: true },
  data: { file: 'cli.js', isShared: true },
  share: { file: 'cli.js', isShared: true },
  receive: { file: 'cli.js', isShared: true },
  record: { file: 'cli.js', isShared: true },
  demo: { file: 'demo.js', isShared: false },
  bench: { file: 'bench.js', isShared: false },
};

const [name = '', ...args] = process.argv.slice(2);
const program = Object.hasOwn(PROGRAMS, name) ? PROGRAMS[name] : null;
if (!program) {
  console.error(`There is no program "${name}", only ${Object.keys(PROGRAMS).join(', ')}.`);
  process.exit(2);
}
prepare();
const path = join(BUILD, 'server', program.file);
if (!existsSync(path)) {
  console.error(`The program "${name}" is not part of this build.`);
  process.exit(1);
}
process.argv = [process.argv[0], path, ...(program.isShared ? [name] : []), ...args];
await import(pathToFileURL(path).href);
