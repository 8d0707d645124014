/**
 * How many small faults the tests notice: `npm run mutate -- SOURCES TESTS... [--sample 100] [--seed 1]`. SOURCES is a
 * file or a folder; TESTS are parts of paths of quick tests, run in this order until one fails, after the source's own.
 * Works on a copy of the tree, prints every fault that no test noticed, and ends with the share of those noticed.
 */
import { fork } from 'node:child_process';
import { createHash } from 'node:crypto';
import { once } from 'node:events';
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { parseArgs } from 'node:util';
import { mutantsOf } from './mutate/mutants.mjs';
import { PROJECT } from './project.mjs';

const COPIED = ['server', 'web', 'scripts', 'test', 'fixtures', 'package.json', 'tsconfig.json', 'README.md'];
/** As long as a timer can wait. */
const LONGEST_MS = 2 ** 31 - 1;

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: { sample: { type: 'string', default: '100' }, seed: { type: 'string', default: '1' } },
});
const [sources, ...tests] = positionals;
if (tests.length === 0) {
  console.error('Usage: npm run mutate -- SOURCES TESTS... [--sample 100] [--seed 1]');
  process.exit(1);
}

const folder = mkdtempSync(join(tmpdir(), 'moulinet-mutate-'));
for (const name of COPIED) cpSync(join(PROJECT, name), join(folder, name), { recursive: true });
symlinkSync(join(PROJECT, 'node_modules'), join(folder, 'node_modules'));
let runner = null;
try {
  process.exitCode = await main();
} finally {
  runner?.child.kill('SIGKILL');
  rmSync(folder, { recursive: true, force: true });
}

async function main() {
  const paths = statSync(join(PROJECT, sources)).isDirectory()
    ? readdirSync(join(PROJECT, sources), { recursive: true }).map((path) => `${sources}/${path}`)
    : [sources];
  const all = paths
    .filter((path) => /\.tsx?$/.test(path))
    .flatMap((path) => mutantsOf(path, readFileSync(join(PROJECT, path), 'utf8')));
  const chosen = sample(all, Number(values.sample));
  console.log(`${chosen.length} of ${all.length} faults in ${sources}, told by ${tests.join(', ')}`);

  const started = performance.now();
  const { killedBy } = await run(null, tests, LONGEST_MS);
  if (killedBy !== null) throw new Error(`without any fault, ${killedBy} fails`);
  const patienceMs = 20_000 + 4 * (performance.now() - started);

  const survivors = [];
  for (const [k, mutant] of chosen.entries()) {
    if (k > 0 && k % 20 === 0) console.log(`${k - survivors.length} of ${k} noticed so far`);
    const own = `/${basename(mutant.path).replace(/\.tsx?$/, '')}.test.ts`;
    if ((await run(mutant, [own, ...tests], patienceMs)).killedBy !== null) continue;
    survivors.push(mutant);
    const { path, line, kind, was, text } = mutant;
    console.log(`${path}:${line} ${kind}: ${was} -> ${text || 'nothing'}`);
  }
  const after = await run(null, tests, LONGEST_MS);
  if (after.killedBy !== null) throw new Error(`without any fault, ${after.killedBy} fails in the end`);
  const killed = chosen.length - survivors.length;
  console.log(`${killed} of ${chosen.length} noticed (${((100 * killed) / chosen.length).toFixed(1)} %)`);
  return 0;
}

/** As many as asked for, by a hash: the same for a seed, whatever else is in the folder. */
function sample(mutants, count) {
  const key = ({ path, start, text }) =>
    createHash('sha1').update(`${values.seed} ${path} ${start} ${text}`).digest('hex');
  return mutants
    .map((mutant) => ({ mutant, key: key(mutant) }))
    .sort((a, b) => (a.key < b.key ? -1 : 1))
    .slice(0, count)
    .map(({ mutant }) => mutant);
}

/** Which test noticed, or null. One that makes a test run on for ever is noticed too; its runner is ended. */
async function run(mutant, stages, patienceMs) {
  runner ??= await start();
  runner.child.send({ mutant, stages });
  const timer = setTimeout(() => runner.child.kill('SIGKILL'), patienceMs);
  try {
    const [answer] = await Promise.race([once(runner.child, 'message'), runner.ended]);
    return answer;
  } catch (error) {
    if (mutant === null) throw error;
    runner = null;
    cpSync(join(PROJECT, mutant.path), join(folder, mutant.path));
    return { killedBy: 'the end of the test run' };
  } finally {
    clearTimeout(timer);
  }
}

/** A process that runs tests, and the promise that is broken when it ends. */
async function start() {
  const path = join(folder, 'scripts', 'mutate', 'runner.mjs');
  const child = fork(path, { cwd: folder, stdio: ['ignore', 'ignore', 2, 'ipc'] });
  const ended = once(child, 'exit').then(() => Promise.reject(new Error('the test run ended unasked')));
  await Promise.race([once(child, 'message'), ended]);
  return { child, ended };
}
