import { ESTIMATED_GRAVITY, type NameReading } from '../ground/names.ts';
import { peakOf, restLevel, type Vector3Columns } from '../ground/rest.ts';
import { areNeighbours, cutFamilies } from './families.ts';
import { columnsOf, findTriples, type NamedColumn, type Triple, vectorOf } from './triples.ts';

/** Gravity in m/s² and in g. */
const LENGTHS = [9.80665, 1] as const;
/** The length is that throughout, within this share: a hand that swings a sensor adds far more to it. */
const LENGTH_WITHIN = 0.03;
/** Cosine of how far the direction has to turn. */
const TURNED_COS = Math.cos(Math.PI / 9);
const FEWEST_ROWS = 50;
/** What four columns hold whose values alone make them a quaternion. */
export const QUATERNION_BY_VALUES = 'orientation, as a unit quaternion';
/** Squares of a unit quaternion written with three decimals add up to 1 within this. */
const UNIT_WITHIN = 0.005;
/** Beside gravity, acceleration without it is small at rest. */
const LITTLE = 0.4;
/** At rest, rates stand below this share of their peak; angles do not. */
const RESTS_BELOW = 0.5;

/**
 * Readings that follow the values where the names mislead or leave it open. A vector whose length stays at 1 g while its
 * direction turns is gravity, whether it is called a rate or, beside an acceleration without gravity, nothing known. What
 * is called rotation is a rate where nothing else is one and it all but vanishes at rest.
 */
export function readValues(columns: readonly NamedColumn[]): NamedColumn[] {
  return nameRotation(nameGravity(nameQuaternions(columns)));
}

/**
 * Four neighbours without telling names whose squares add up to 1 in every row are a quaternion: any three of them may
 * pass for a force of 1 g at rest.
 */
function nameQuaternions(columns: readonly NamedColumn[]): NamedColumn[] {
  const found = new Set<NamedColumn>();
  for (let i = 0; i + 4 <= columns.length; ++i) {
    const four = columns.slice(i, i + 4);
    if (four.some((column) => found.has(column)) || !isQuaternion(four)) continue;
    for (const column of four) found.add(column);
    i += 3;
  }
  const why = 'with its three neighbours its squares add up to 1, as those of a quaternion do';
  return columns.map((column) =>
    found.has(column)
      ? { ...column, reading: { ...column.reading, kind: 'other', what: QUATERNION_BY_VALUES, why } }
      : column,
  );
}

function isQuaternion(four: readonly NamedColumn[]): boolean {
  const isTold = four.some(({ reading, sample }) => reading.kind !== 'unknown' || sample.kind !== 'number');
  if (isTold || four.some((column, i) => i > 0 && !areNeighbours(four[i - 1]!, column))) return false;
  if (four.filter(({ sample }) => sample.distinct.length > 2).length < 2) return false;
  const rows = four[0]!.sample.values.length;
  if (rows < FEWEST_ROWS) return false;
  let off = 0;
  for (let row = 0; row < rows; ++row) {
    const sum = four.reduce((squares, { sample }) => squares + sample.values[row]! ** 2, 0);
    if (!(Math.abs(sum - 1) < UNIT_WITHIN)) ++off;
  }
  return off * 100 <= rows;
}

function nameGravity(columns: readonly NamedColumn[]): NamedColumn[] {
  const rates = findTriples(columns, 'gyro')
    .filter(({ statedUnit }) => statedUnit === null)
    .map((triple) => columnsOf(triple, columns));
  const triples = [...rates, ...strangersBeside(columns)];
  const found = new Map<NamedColumn, NameReading>();
  for (const triple of triples) {
    const size = lengthOf(triple);
    if (size === null) continue;
    const why = `its magnitude stays at ${size} while its direction turns, as gravity’s does`;
    for (const [axis, column] of triple.entries()) {
      const reading = { ...column.reading, kind: 'other', axis: axis as 0 | 1 | 2 } as const;
      found.set(column, { ...reading, what: ESTIMATED_GRAVITY, why });
    }
  }
  return columns.map((column) => ({ ...column, reading: found.get(column) ?? column.reading }));
}

/** Columns by threes whose names tell nothing, where acceleration lacks a gravity that no name says. */
function strangersBeside(columns: readonly NamedColumn[]): NamedColumn[][] {
  const accel = plainestAccel(columns);
  if (!accel || columns.some(({ reading }) => reading.what === ESTIMATED_GRAVITY)) return [];
  const restOf = (triple: readonly NamedColumn[]) => restLevel(vectorOf(triple)).norm;
  const rest = restOf(columnsOf(accel, columns));
  return cutFamilies(columns).filter(
    (family) =>
      family.length === 3 &&
      family.every(({ reading, sample }) => reading.kind === 'unknown' && sample.kind === 'number') &&
      rest < LITTLE * restOf(family),
  );
}

/** The length, as it is shown, of a vector that is 1 g long in every row and does not always point the same way. */
function lengthOf(triple: readonly NamedColumn[]): number | null {
  const vector = vectorOf(triple);
  const lengths = vector.x.map((x, i) => Math.hypot(x, vector.y[i]!, vector.z[i]!)).sort();
  const n = lengths.length;
  if (n < FEWEST_ROWS) return null;
  const is1g = LENGTHS.some((length) =>
    // A torn row or two say nothing.
    [lengths[Math.floor(n / 100)]!, lengths[Math.ceil((99 * n) / 100) - 1]!].every(
      (own) => Math.abs(own / length - 1) <= LENGTH_WITHIN,
    ),
  );
  return is1g && turns(vector) ? Number(lengths[n >> 1]!.toPrecision(4)) : null;
}

function turns({ x, y, z }: Vector3Columns): boolean {
  const first = Math.hypot(x[0]!, y[0]!, z[0]!);
  return x.some((_, i) => {
    const dot = x[0]! * x[i]! + y[0]! * y[i]! + z[0]! * z[i]!;
    return dot < TURNED_COS * first * Math.hypot(x[i]!, y[i]!, z[i]!);
  });
}

function nameRotation(columns: readonly NamedColumn[]): NamedColumn[] {
  const named = columns.filter(({ reading }) => /^rot(ation)?( w)?$/.test(reading.group));
  const axes = named.map(({ reading }) => reading.axis);
  // A fourth one, w, makes it a quaternion.
  const isRotation = axes.join() === '0,1,2' && named.every(({ sample }) => sample.kind === 'number');
  if (!isRotation || findTriples(columns, 'gyro').length > 0) return [...columns];
  if (!vanishesAtRest(named, columns)) return [...columns];
  const why = 'its name says rotation, its values angular rate';
  return columns.map((column) =>
    named.includes(column) ? { ...column, reading: { ...column.reading, kind: 'gyro', why } } : column,
  );
}

/** The acceleration of whose name the fewest words say what was done to it. */
function plainestAccel(columns: readonly NamedColumn[]): Triple | null {
  const done = ({ traits }: Triple) => traits.filter((trait) => trait !== 'calibrated').length;
  return findTriples(columns, 'accel').sort((a, b) => done(a) - done(b))[0] ?? null;
}

/** True where little is left of a vector while gravity, or else acceleration, varies least. */
function vanishesAtRest(triple: readonly NamedColumn[], columns: readonly NamedColumn[]): boolean {
  const gravity = columns.filter(({ reading }) => reading.what === ESTIMATED_GRAVITY);
  const plainest = plainestAccel(columns);
  const accel = plainest ? columnsOf(plainest, columns) : triple;
  const vector = vectorOf(triple);
  const steady = vectorOf(gravity.length === 3 ? gravity : accel);
  const rest = restLevel(vector, steady.x.length === vector.x.length ? steady : vector);
  return rest.norm < RESTS_BELOW * peakOf(vector);
}
