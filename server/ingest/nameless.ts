import { guessAccelUnit } from './accelGuess.ts';
import { weighClock } from './clockGuess.ts';
import { type RestLevel, restLevel, type Vector3Columns } from './rest.ts';
import type { NamedColumn, Triple } from './triples.ts';

interface Trial {
  readonly columns: readonly NamedColumn[];
  readonly rest: RestLevel;
  readonly peak: number;
  readonly isWhole: boolean;
}

/**
 * Finds acceleration and rates among columns without telling names: acceleration is the triple whose magnitude at
 * rest is 1 g in a common unit and wanders least; rates are the triple that is near zero at rest. Empty where the
 * data do not settle it.
 */
export function guessNameless(columns: readonly NamedColumn[]): Triple[] {
  const numeric = columns.filter((column) => isCandidate(column));
  const trials = cutTriples(numeric)
    .filter((triple) => triple.some(({ sample }) => sample.distinct.length >= 5))
    .map((triple) => tryTriple(triple));
  const accel = trials
    .filter(({ rest, isWhole }) => isGravity(rest, isWhole))
    .sort((a, b) => a.rest.spread - b.rest.spread)[0];
  if (!accel) return [];
  const gyro = trials
    .filter((trial) => !trial.columns.some((column) => accel.columns.includes(column)))
    .sort((a, b) => restShare(a) - restShare(b))[0];
  return gyro ? [toTriple('accel', accel), toTriple('gyro', gyro)] : [toTriple('accel', accel)];
}

function isCandidate({ sample, index }: NamedColumn): boolean {
  if (sample.kind !== 'number' || sample.missingShare > 0.5) return false;
  return weighClock(index, sample, null, null, null) === null;
}

/** Neighbouring columns by threes; every three in a row where a run of them is no multiple of three. */
function cutTriples(columns: readonly NamedColumn[]): NamedColumn[][] {
  const triples: NamedColumn[][] = [];
  for (let start = 0; start < columns.length; ) {
    let end = start + 1;
    while (end < columns.length && columns[end]!.index === columns[end - 1]!.index + 1) ++end;
    const stride = (end - start) % 3 === 0 ? 3 : 1;
    for (let i = start; i + 3 <= end; i += stride) triples.push(columns.slice(i, i + 3));
    start = end;
  }
  return triples;
}

function tryTriple(columns: readonly NamedColumn[]): Trial {
  const [x, y, z] = columns.map(({ sample }) => sample.values) as [Float64Array, Float64Array, Float64Array];
  const vectors: Vector3Columns = { x, y, z };
  let peak = 0;
  for (let i = 0; i < x.length; ++i)
    peak = Math.max(peak, Math.sqrt(x[i]! ** 2 + y[i]! ** 2 + z[i]! ** 2) || 0);
  return { columns, rest: restLevel(vectors), peak, isWhole: columns.every(({ sample }) => sample.isWhole) };
}

function isGravity(rest: RestLevel, isWhole: boolean): boolean {
  const guess = guessAccelUnit(rest, isWhole);
  const isClear =
    guess.unit !== null && !guess.reason.includes('no gravity') && !guess.reason.includes('taken as');
  return isClear && rest.spread < 0.15;
}

function restShare({ rest, peak }: Trial): number {
  return rest.norm / peak;
}

function toTriple(kind: 'accel' | 'gyro', { columns }: Trial): Triple {
  return {
    kind,
    file: columns[0]!.file,
    indices: columns.map(({ index }) => index) as unknown as [number, number, number],
    group: '',
    traits: [],
    statedUnit: null,
    codes: false,
    score: -1,
  };
}
