/** Finds the system's C compiler. Run by itself, prints its name, or fails. */
import { spawnSync } from 'node:child_process';
import { realpathSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** What runs it, or null. CC, where set, is the only one looked at. */
export function findCompiler(env = process.env) {
  const names = env.CC ? [env.CC] : ['cc', 'gcc', 'clang'];
  return names.find((name) => spawnSync(name, ['--version'], { stdio: 'ignore' }).status === 0) ?? null;
}

const isMain = process.argv[1] && realpathSync(process.argv[1]) === fileURLToPath(import.meta.url);
if (isMain) {
  const name = findCompiler();
  if (name) console.log(name);
  else process.exitCode = 1;
}
