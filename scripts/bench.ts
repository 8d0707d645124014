/**
 * Prints how fast the program is, as ratios against a peer that runs in turn on the same data: A B A B ..., at least
 * three rounds, the median of the ratios. Absolute times on a shared machine say little; ratios hold.
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
import { benchCoverage } from './bench/coverage.ts';
import { benchDrag } from './bench/drag.ts';
import { benchFalseFails } from './bench/falseFails.ts';
import { benchFilters } from './bench/filters.ts';
import { benchGestureSweeps } from './bench/gestureSweeps.ts';
import { benchGrowth } from './bench/growth.ts';
import { benchHour } from './bench/hour.ts';
import { benchIngest } from './bench/ingest.ts';
import { benchMany } from './bench/many.ts';
import { benchMotion } from './bench/motion.ts';
import { benchPage } from './bench/page.ts';
import type { Print } from './bench/pair.ts';
import { benchProp } from './bench/prop.ts';
import { benchReplay } from './bench/replay.ts';
import { benchStabs } from './bench/stabs.ts';
import { benchStart } from './bench/start.ts';
import { benchSweeps } from './bench/sweeps.ts';

const GROUPS = {
  ingest: benchIngest,
  filters: benchFilters,
  sweeps: benchSweeps,
  hour: benchHour,
  gestureSweeps: benchGestureSweeps,
  start: benchStart,
  drag: benchDrag,
  prop: benchProp,
  replay: benchReplay,
  stabs: benchStabs,
  motion: benchMotion,
  coverage: (print: Print) => benchCoverage(print, manyOptions),
  falseFails: benchFalseFails,
  many: (print: Print) => benchMany(print, manyOptions),
  page: (print: Print) => benchPage(print, manyOptions),
  growth: (print: Print) => benchGrowth(print, manyOptions),
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
