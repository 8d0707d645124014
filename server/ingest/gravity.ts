import type { FilePart } from './assemble.ts';
import { gatherEvidence } from './evidence.ts';
import { ESTIMATED_GRAVITY } from './names.ts';
import { restLevel, type Vector3Columns } from './rest.ts';
import { columnsOf, type NamedColumn, type Triple } from './triples.ts';
import { GOOD_FIT } from './turnScale.ts';
import { GRAVITY_ROLES, type GravityRole, type Mapping, type MotionRole } from './types.ts';

/** At rest, acceleration without gravity is small beside gravity. */
const LITTLE = 0.4;
/** Gravity's magnitude is the same throughout. */
const STEADY = 0.1;
/** How much better the turning must agree with the difference before it is taken instead of the sum. */
const CLEARLY_BETTER = 0.2;

export function isGravityRole(role: string): role is GravityRole {
  return (GRAVITY_ROLES as readonly string[]).includes(role);
}

/** The acceleration that this part of gravity goes with. */
export function accelOf(role: GravityRole): MotionRole {
  return `accel${role.slice(-1)}` as MotionRole;
}

/**
 * Columns x, y and z of gravity that stand beside an acceleration from which it was taken out: the two make up what
 * the sensor read. null where there are none, where the acceleration holds gravity by itself, or where what is called
 * gravity is no vector of one length.
 */
export function findGravity(accel: Triple, columns: readonly NamedColumn[]): NamedColumn[] | null {
  const unitOf = ({ reading, rowUnit }: NamedColumn) => reading.unit?.unit ?? rowUnit;
  const named = columns.filter(
    ({ file, reading, sample }) =>
      file === accel.file && reading.what === ESTIMATED_GRAVITY && sample.kind === 'number',
  );
  const gravity = [0, 1, 2].map((axis) => named.find(({ reading }) => reading.axis === axis));
  if (gravity.some((column) => column === undefined)) return null;
  const found = gravity as NamedColumn[];
  const isSameUnit = found.every((column) => {
    const unit = unitOf(column);
    return unit === null || accel.statedUnit === null || unit === accel.statedUnit;
  });
  const own = columnsOf(accel, columns);
  if (!isSameUnit || own.length < 3) return null;
  const rest = restLevel(vectorOf(found));
  const isGravity = rest.norm > 0 && rest.spread < STEADY;
  return isGravity && restLevel(vectorOf(own)).norm < LITTLE * rest.norm ? found : null;
}

/** Adds gravity to the acceleration of the same axis, in place. @param sign  -1 where it points the other way */
export function addGravity(
  accel: ReadonlyMap<MotionRole, Float64Array>,
  gravity: ReadonlyMap<GravityRole, Float64Array>,
  sign: number,
): void {
  for (const [role, values] of gravity) {
    const into = accel.get(accelOf(role));
    if (!into) continue;
    for (let i = 0; i < into.length; ++i) into[i]! += sign * values[i]!;
  }
}

/**
 * Whether gravity was rightly added: where the sum turns less well with the rates than the difference does, the
 * difference is taken, in the parts (in place) and in the mapping. Steady turns in which an estimate of gravity lags
 * tell the two apart; where nothing does, the sum stays, which is the custom.
 */
export function settleGravitySign(parts: readonly FilePart[], mapping: Mapping): Mapping {
  const part = parts.find(({ prepared }) => prepared.gravity.size === 3 && prepared.columns.has('gyroX'));
  if (!part) return mapping;
  const { timeUs, columns, gravity } = part.prepared;
  const turned = new Map([...columns].map(([role, values]) => [role, values.slice()] as const));
  addGravity(turned, gravity, -2);
  const sum = agreement(timeUs, columns);
  const difference = agreement(timeUs, turned);
  if (difference >= GOOD_FIT && difference > sum + CLEARLY_BETTER) {
    addGravity(columns, gravity, -2);
    return withGravity(mapping, 'subtracted', 'taken off, as the rates then agree with how gravity turns');
  }
  const tested = sum >= GOOD_FIT ? '; the rates agree with how the sum turns' : '';
  return withGravity(mapping, 'added', `added to the acceleration without it: what the sensor read${tested}`);
}

function withGravity(mapping: Mapping, unit: 'added' | 'subtracted', how: string): Mapping {
  const columns = mapping.columns.map((column) =>
    isGravityRole(column.role) ? { ...column, unit, reason: `${column.reason}: ${how}` } : column,
  );
  return { ...mapping, columns };
}

function agreement(timeUs: Float64Array, columns: ReadonlyMap<MotionRole, Float64Array>): number {
  return gatherEvidence(timeUs, columns).turn?.agreement ?? 0;
}

/** The rows of the head in which all three are there: sensors may take turns, row by row. */
export function vectorOf(columns: readonly NamedColumn[]): Vector3Columns {
  const isWhole = (_: number, row: number) =>
    columns.every(({ sample }) => !Number.isNaN(sample.values[row]!));
  const [x, y, z] = columns.map(({ sample }) => sample.values.filter(isWhole));
  return { x: x!, y: y!, z: z! };
}
