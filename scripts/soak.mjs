/**
 * Runs for long what the tests run for a moment: `npm run soak -- locks|kills|logs|fuzz [--rounds N] [--seconds N] [--seed N]`.
 * Seeds and figures are printed; what fails prints its seed and the smallest case.
 */
import { parseArgs } from 'node:util';
import { checkNode, runNode } from './project.mjs';

const KINDS = {
  locks: { files: ['test/store/lock.test.ts'], sets: { LOCK_RACES: 'rounds' }, rounds: 2000 },
  kills: { files: ['test/soak/kills.long.test.ts'], sets: { KILLS: 'rounds' }, rounds: 500 },
  logs: { files: ['test/soak/hostileLogs.test.ts'], sets: { LARGE_LOGS: 'rounds' }, rounds: 100 },
  fuzz: { files: ['test/soak/fuzz'], sets: { FUZZ_SECONDS: 'seconds' }, seconds: 1200 },
};

checkNode();
const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: { rounds: { type: 'string' }, seconds: { type: 'string' }, seed: { type: 'string' } },
});
const [name = ''] = positionals;
const kind = Object.hasOwn(KINDS, name) ? KINDS[name] : null;
if (!kind) {
  console.error(`Say which: ${Object.keys(KINDS).join(', ')}.`);
  process.exit(2);
}
for (const [variable, option] of Object.entries(kind.sets))
  process.env[`SOAK_${variable}`] = values[option] ?? String(kind[option]);
if (values.seed !== undefined) process.env.SOAK_SEED = values.seed;
process.exitCode = runNode([
  'node_modules/vitest/vitest.mjs',
  'run',
  '--config=test/vitest.config.ts',
  ...kind.files,
]);
