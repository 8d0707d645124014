/**
 * Prints how fast the program is, as ratios against a peer that runs in turn on the same data: A B A B ..., at least
 * three rounds, the median of the ratios. Absolute times on a shared machine say little; ratios hold.
 * `npm run bench -- NAME ...` runs only the rows whose names begin so.
 */
import { benchDrag } from './bench/drag.ts';
import { benchFilters } from './bench/filters.ts';
import { benchIngest } from './bench/ingest.ts';
import { benchStart } from './bench/start.ts';
import { benchSweeps } from './bench/sweeps.ts';

const GROUPS = {
  ingest: benchIngest,
  filters: benchFilters,
  sweeps: benchSweeps,
  start: benchStart,
  drag: benchDrag,
};

const wanted = process.argv.slice(2);
const unknown = wanted.filter((name) => !Object.hasOwn(GROUPS, name));
if (unknown.length > 0) {
  console.error(`There is no group ${unknown.join(', ')}, only ${Object.keys(GROUPS).join(', ')}.`);
  process.exitCode = 2;
} else {
  for (const [name, run] of Object.entries(GROUPS)) {
    if (wanted.length > 0 && !wanted.includes(name)) continue;
    console.log(`\n${name}`);
    await run((line) => console.log(`  ${line}`));
  }
}
