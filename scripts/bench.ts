/**
 * Prints how fast the program is, as ratios against a peer that runs in turn on the same data: A B A B ..., at least
 * three rounds, the median of the ratios. Absolute times on a shared machine say little; ratios of processor times hold.
 * `npm run bench -- NAME ...` runs only the groups named. `many`, `growth`, `page`, `replay`, `stabs`, `motion`, `coverage` and `falseFails` run only so, for they take minutes. `many`
 * prints times; it takes `--takes N` for fewer takes than a hundred, and `--folder PATH` to keep its workspace for the next
 * run. `stabs` prints no speed, but how many stabs are found, and how many are false, in simulated takes of an arm; `motion` how well
 * a guard chosen by motion alone does on presses, and how often its intervals hold; `coverage` how often the intervals of a
 * take's own sensor hold what is true, in simulated takes (`--takes N` of each motion and sensor, for fewer than 200);
 * `page` what a take of ten minutes and of an hour costs on the page beside one of ten seconds (`--folder` as above, `--only TITLE`);
 * `replay` prints frame times of the replay in a browser; `prop` bytes and instructions of the exported detectors on an emulated processor;
 * `growth` how times and memory grow with a take's length and a workspace's size (`--folder` as above; `--only` of `lengths`, `workspaces`,
 * `"1 h"`, `"100 takes"` and the like);
 * `falseFails` which lines of the signal check fail in some 300 sound simulated takes.
 */
import { parseArgs } from 'node:util';
import type { Print } from './bench/pair.ts';

/** Loaded as they are run: what one group holds in memory would slow the sweeping up in another. */
const GROUPS = {
  ingest: async (print: Print) => (await import('./bench/ingest.ts')).benchIngest(print),
  filters: async (print: Print) => (await import('./bench/filters.ts')).benchFilters(print),
  sweeps: async (print: Print) => (await import('./bench/sweeps.ts')).benchSweeps(print),
  hour: async (print: Print) => (await import('./bench/hour.ts')).benchHour(print),
  gestureSweeps: async (print: Print) => (await import('./bench/gestureSweeps.ts')).benchGestureSweeps(print),
  start: async (print: Print) => (await import('./bench/start.ts')).benchStart(print),
  drag: async (print: Print) => (await import('./bench/drag.ts')).benchDrag(print),
  prop: async (print: Print) => (await import('./bench/prop.ts')).benchProp(print),
  replay: async (print: Print) => (await import('./bench/replay.ts')).benchReplay(print),
  stabs: async (print: Print) => (await import('./bench/stabs.ts')).benchStabs(print),
  motion: async (print: Print) => (await import('./bench/motion.ts')).benchMotion(print),
  coverage: async (print: Print) => (await import('./bench/coverage.ts')).benchCoverage(print, manyOptions),
  falseFails: async (print: Print) => (await import('./bench/falseFails.ts')).benchFalseFails(print),
  many: async (print: Print) => (await import('./bench/many.ts')).benchMany(print, manyOptions),
  growth: async (print: Print) => (await import('./bench/growth.ts')).benchGrowth(print, manyOptions),
  page: async (print: Print) => (await import('./bench/page.ts')).benchPage(print, manyOptions),
};

const ONLY_NAMED: ReadonlySet<string> = new Set([
  'many',
  'growth',
  'page',
  'replay',
  'stabs',
  'motion',
  'coverage',
  'falseFails',
]);

const { values, positionals: wanted } = parseArgs({
  allowPositionals: true,
  options: { takes: { type: 'string' }, folder: { type: 'string' }, only: { type: 'string' } },
});
const manyOptions = {
  ...(values.takes === undefined ? {} : { takes: Number(values.takes) }),
  ...(values.folder === undefined ? {} : { folder: values.folder }),
  ...(values.only === undefined ? {} : { only: values.only }),
};
const unknown = wanted.filter((name) => !Object.hasOwn(GROUPS, name));
if (unknown.length > 0) {
  console.error(`There is no group ${unknown.join(', ')}, only ${Object.keys(GROUPS).join(', ')}.`);
  process.exitCode = 2;
} else {
  for (const [name, run] of Object.entries(GROUPS)) {
    if (wanted.length === 0 ? ONLY_NAMED.has(name) : !wanted.includes(name)) continue;
    console.log(`\n${name}`);
    await run((line) => console.log(`  ${line}`));
  }
  if (wanted.length === 0)
    console.log(
      `\n${[...ONLY_NAMED].join(', ')} take minutes, so they run only when named: npm run bench -- many`,
    );
}
