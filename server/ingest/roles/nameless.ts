import { quietMeans } from '../ground/rest.ts';
import { factorTo, usPer } from '../ground/units.ts';
import { switches } from '../layout/columnSample.ts';
import { areNeighbours, cutFamilies } from '../layout/families.ts';
import type { NamedColumn, Triple } from '../layout/triples.ts';
import { guessAccelUnit, lacksGravity } from '../units/accelGuess.ts';
import { weighClock } from './clockGuess.ts';
import type { VectorFacts } from './vectorFacts.ts';

const ROW_US = 10_000;
/** At rest, rates stand below this share of their peak; positions and fields do not. */
const RESTS_BELOW = 0.35;
const VALUES_AT_LEAST = 5;

/**
 * Neighbouring columns without telling names, by threes, that may be a sensor's axes.
 * @param withStill  takes columns that never change too: an axis about which nothing turns may stand still throughout,
 *   as a button does that nobody presses
 */
export function strangersByThrees(columns: readonly NamedColumn[], withStill: boolean): NamedColumn[][] {
  const numeric = columns.filter(
    (column) => isCandidate(column) && (withStill || column.sample.distinct.length > 1),
  );
  return cutTriples(numeric, withStill).filter((triple) =>
    triple.some(({ sample }) => sample.distinct.length >= VALUES_AT_LEAST),
  );
}

/** Microseconds since the first row, from the column that looks most like a clock; null where none does. */
export function readTime(columns: readonly NamedColumn[]): Float64Array | null {
  const clocks = columns.flatMap((column) => {
    const isNumber = column.sample.kind === 'number';
    const isTelling = column.reading.kind === 'time' || column.reading.kind === 'counter';
    const found = isNumber ? weighClock(column, isTelling ? column.reading : null, null) : null;
    const us = found && found.score >= 0 ? usPer(found.unit) : null;
    return found && us !== null ? [{ column, us, score: found.score }] : [];
  });
  const best = clocks.sort((a, b) => b.score - a.score)[0];
  return best ? best.column.sample.sinceFirst.map((value) => value * best.us) : null;
}

/** Rows 10 ms apart, for a log without a clock. */
export function evenTime(rows: number): Float64Array {
  return Float64Array.from({ length: rows }, (_, row) => row * ROW_US);
}

function isCandidate(column: NamedColumn): boolean {
  const { sample } = column;
  if (sample.kind !== 'number' || sample.missingShare > 0.5 || switches(sample)) return false;
  return weighClock(column, null, null) === null;
}

/**
 * Neighbouring columns by threes; every three in a row where a run of them is no multiple of three. A family of three, or
 * of six, is a run of its own: its names say that it belongs together.
 * @param onlyWhole  leaves out runs that are no multiple of three: shifted by one, a still column passes for an axis
 */
function cutTriples(columns: readonly NamedColumn[], onlyWhole: boolean): NamedColumn[][] {
  const runs: { readonly columns: NamedColumn[]; readonly isFamily: boolean }[] = [];
  for (const family of cutFamilies(columns)) {
    const isFamily = family.length % 3 === 0;
    const last = runs.at(-1);
    if (last && !last.isFamily && !isFamily && areNeighbours(last.columns.at(-1)!, family[0]!))
      last.columns.push(...family);
    else runs.push({ columns: family, isFamily });
  }
  return runs.flatMap(({ columns: run }) => {
    if (onlyWhole && run.length % 3 !== 0) return [];
    const stride = run.length % 3 === 0 ? 3 : 1;
    const count = Math.max(0, Math.floor((run.length - 3) / stride) + 1);
    return Array.from({ length: count }, (_, i) => run.slice(i * stride, i * stride + 3));
  });
}

/** True where the length at rest is 1 g in a common unit, or as near to it as a biased sensor may be. */
export function restsAsGravity({ rest, isWhole }: VectorFacts): boolean {
  const { unit, warning } = guessAccelUnit(rest, isWhole);
  if (unit === null || rest.spread > 0.15) return false;
  return (
    warning === null || (!unit.startsWith('lsb:') && !lacksGravity(rest.norm * factorTo('accel', unit)!))
  );
}

/** True where little is left of rates in nearly every rest of the force; of angles much is left once the prop has moved. */
export function vanishesAtRest({ vectors, peak, rows, rest }: VectorFacts, force: VectorFacts): boolean {
  if (rows.length !== force.rows.length) return rest.norm / peak < RESTS_BELOW;
  const levels = quietMeans(vectors, force.vectors)
    .map((mean) => Math.hypot(...mean))
    .sort((a, b) => a - b);
  return levels[Math.floor(0.9 * (levels.length - 1))]! / peak < RESTS_BELOW;
}

/** A triple whose names tell nothing. */
export function strangerTriple(kind: 'accel' | 'gyro', columns: readonly NamedColumn[]): Triple {
  return {
    kind,
    file: columns[0]!.file,
    indices: columns.map(({ index }) => index) as unknown as [number, number, number],
    group: '',
    traits: [],
    statedUnit: columns[0]!.rowUnit,
    codes: false,
  };
}
