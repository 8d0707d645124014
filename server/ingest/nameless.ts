import { guessAccelUnit } from './accelGuess.ts';
import { weighClock } from './clockGuess.ts';
import { switches } from './columnSample.ts';
import { areNeighbours, cutFamilies } from './families.ts';
import { type RestLevel, restLevel, type Vector3Columns } from './rest.ts';
import { columnsOf, type NamedColumn, type Triple } from './triples.ts';
import { GOOD_FIT, turnScale } from './turnScale.ts';
import { factorTo, usPer } from './units.ts';

interface Trial {
  readonly columns: readonly NamedColumn[];
  readonly vectors: Vector3Columns;
  readonly rest: RestLevel;
  readonly peak: number;
  readonly isWhole: boolean;
}

/** How many triples are tried as either; more would take too long. */
const TRIED_AT_MOST = 10;
const ROW_US = 10_000;
/** At rest, rates stand below this share of their peak; positions and fields do not. */
const RESTS_BELOW = 0.5;

/**
 * Finds acceleration and rates among columns without telling names. Where the log turns enough, they are the two triples
 * of which the one turns as the other says. Else acceleration is the triple whose magnitude at rest is 1 g in a common
 * unit and wanders least; rates are the triple that is near zero at rest. Empty where the data do not settle it.
 */
export function guessNameless(columns: readonly NamedColumn[]): Triple[] {
  const numeric = columns.filter((column) => isCandidate(column));
  const timeUs = readTime(columns);
  const moving = numeric.filter(({ sample }) => sample.distinct.length > 1);
  const found = guessAmong(moving, timeUs);
  if (found.length === 2 || moving.length === numeric.length) return found;
  // An axis about which nothing turns may stand still throughout, as a button does that nobody presses.
  const all = guessAmong(numeric, timeUs);
  return all.length > found.length ? all : found;
}

function guessAmong(columns: readonly NamedColumn[], timeUs: Float64Array): Triple[] {
  const trials = cutTriples(columns)
    .filter((triple) => triple.some(({ sample }) => sample.distinct.length >= 5))
    .map((triple) => tryTriple(triple));
  const turning = bestTurning(trials, trials, timeUs);
  if (turning) return [toTriple('accel', turning.accel), toTriple('gyro', turning.gyro)];
  const accel = trials
    .filter(({ rest, isWhole }) => isGravity(rest, isWhole))
    .sort((a, b) => offG(a) - offG(b) || a.rest.spread - b.rest.spread)[0];
  if (!accel) return [];
  const gyro = trials
    .filter((trial) => areApart(trial, accel) && restShare(trial) < RESTS_BELOW)
    .sort((a, b) => restShare(a) - restShare(b))[0];
  return gyro ? [toTriple('accel', accel), toTriple('gyro', gyro)] : [toTriple('accel', accel)];
}

/**
 * Where names tell acceleration only or rates only, the other one among columns whose names tell nothing: that with
 * which gravity turns as it should. Empty where the log does not turn enough to tell.
 */
export function guessPartner(
  columns: readonly NamedColumn[],
  accel: readonly Triple[],
  gyro: readonly Triple[],
): Triple[] {
  if (accel.length > 0 === gyro.length > 0) return [];
  const known = (accel[0] ?? gyro[0])!;
  const own = tryTriple(columnsOf(known, columns));
  const strangers = columns.filter((column) => column.reading.kind === 'unknown' && isCandidate(column));
  const trials = cutTriples(strangers).map((triple) => tryTriple(triple));
  const timeUs = readTime(columns);
  if (known.kind === 'accel') {
    const found = bestTurning([own], trials, timeUs);
    return found ? [toTriple('gyro', found.gyro)] : [];
  }
  const found = bestTurning(trials, [own], timeUs);
  return found ? [toTriple('accel', found.accel)] : [];
}

/** The two triples of which the one turns most as the other says; null where none does well. */
function bestTurning(
  accels: readonly Trial[],
  gyros: readonly Trial[],
  timeUs: Float64Array,
): { accel: Trial; gyro: Trial } | null {
  let best: { accel: Trial; gyro: Trial; agreement: number } | null = null;
  const steady = [...accels].sort((a, b) => a.rest.spread - b.rest.spread).slice(0, TRIED_AT_MOST);
  const quiet = [...gyros].sort((a, b) => restShare(a) - restShare(b)).slice(0, TRIED_AT_MOST);
  for (const accel of steady) {
    for (const gyro of quiet) {
      if (!areApart(accel, gyro)) continue;
      const gyroRest = restLevel(gyro.vectors, accel.vectors);
      const turn = turnScale(timeUs, accel.vectors, gyro.vectors, accel.rest, gyroRest);
      if (!turn || turn.degPerUnit <= 0 || turn.agreement < Math.max(GOOD_FIT, best?.agreement ?? 0))
        continue;
      best = { accel, gyro, agreement: turn.agreement };
    }
  }
  return best;
}

function areApart(a: Trial, b: Trial): boolean {
  return !a.columns.some((column) => b.columns.includes(column));
}

/** Microseconds since the first row, from the column that looks most like a clock; rows 10 ms apart where none does. */
function readTime(columns: readonly NamedColumn[]): Float64Array {
  const clocks = columns.flatMap((column) => {
    const found = column.sample.kind === 'number' ? weighClock(column, null, null) : null;
    const us = found && found.score >= 0 ? usPer(found.unit) : null;
    return found && us !== null ? [{ column, us, score: found.score }] : [];
  });
  const best = clocks.sort((a, b) => b.score - a.score)[0];
  if (best) return best.column.sample.sinceFirst.map((value) => value * best.us);
  return Float64Array.from(columns[0]?.sample.values ?? [], (_, row) => row * ROW_US);
}

/** How far the rest is from 1 g in the unit that fits, in steps of a tenth: less may be the sensor's own fault. */
function offG({ rest, isWhole }: Trial): number {
  const { unit } = guessAccelUnit(rest, isWhole);
  return Math.round(10 * Math.abs(rest.norm * (factorTo('accel', unit ?? '') ?? 0) - 1));
}

function isCandidate(column: NamedColumn): boolean {
  const { sample } = column;
  if (sample.kind !== 'number' || sample.missingShare > 0.5 || switches(sample)) return false;
  return weighClock(column, null, null) === null;
}

/**
 * Neighbouring columns by threes; every three in a row where a run of them is no multiple of three. A family of three, or
 * of six, is a run of its own: its names say that it belongs together.
 */
function cutTriples(columns: readonly NamedColumn[]): NamedColumn[][] {
  const runs: { readonly columns: NamedColumn[]; readonly isFamily: boolean }[] = [];
  for (const family of cutFamilies(columns)) {
    const isFamily = family.length % 3 === 0;
    const last = runs.at(-1);
    if (last && !last.isFamily && !isFamily && areNeighbours(last.columns.at(-1)!, family[0]!))
      last.columns.push(...family);
    else runs.push({ columns: family, isFamily });
  }
  return runs.flatMap(({ columns: run }) => {
    const stride = run.length % 3 === 0 ? 3 : 1;
    const count = Math.max(0, Math.floor((run.length - 3) / stride) + 1);
    return Array.from({ length: count }, (_, i) => run.slice(i * stride, i * stride + 3));
  });
}

function tryTriple(columns: readonly NamedColumn[]): Trial {
  const [x, y, z] = columns.map(({ sample }) => sample.values) as [Float64Array, Float64Array, Float64Array];
  const vectors: Vector3Columns = { x, y, z };
  let peak = 0;
  for (let i = 0; i < x.length; ++i)
    peak = Math.max(peak, Math.sqrt(x[i]! ** 2 + y[i]! ** 2 + z[i]! ** 2) || 0);
  return {
    columns,
    vectors,
    rest: restLevel(vectors),
    peak,
    isWhole: columns.every(({ sample }) => sample.isWhole),
  };
}

function isGravity(rest: RestLevel, isWhole: boolean): boolean {
  const { unit, warning } = guessAccelUnit(rest, isWhole);
  return unit !== null && warning === null && rest.spread < 0.15;
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
