import type { FilePart } from './assemble.ts';
import { gatherEvidence } from './evidence.ts';
import type { Vector3Columns } from './rest.ts';
import type { NamedColumn } from './triples.ts';
import { GOOD_FIT } from './turnScale.ts';
import { GRAVITY_ROLES, type GravityRole, type Mapping, type MotionRole } from './types.ts';
import { factorTo } from './units.ts';

/** How much better the turning must agree with the difference before it is taken instead of the sum. */
const CLEARLY_BETTER = 0.2;

export function isGravityRole(role: string): role is GravityRole {
  return (GRAVITY_ROLES as readonly string[]).includes(role);
}

/** The acceleration that this part of gravity goes with. */
export function accelOf(role: GravityRole): MotionRole {
  return `accel${role.slice(-1)}` as MotionRole;
}

/** How gravity enters the acceleration: `added` or `subtracted`, and its own unit behind a colon where it is another one. */
export function readGravityUnit(
  text: string,
): { readonly sign: 1 | -1; readonly unit: string | null } | null {
  const [, word, unit] = /^(added|subtracted)(?::(.+))?$/.exec(text) ?? [];
  if (word === undefined || (unit !== undefined && factorTo('accel', unit) === null)) return null;
  return { sign: word === 'added' ? 1 : -1, unit: unit ?? null };
}

/**
 * What one unit of the column of gravity is in units of the acceleration, negative where it is taken off.
 * @throws RangeError  where the two units cannot be compared
 */
export function gravityFactor(gravityUnit: string, accelUnit: string): number {
  const read = readGravityUnit(gravityUnit);
  if (read === null) throw new RangeError(`gravity is "added" or "subtracted", not "${gravityUnit}"`);
  if (read.unit === null) return read.sign;
  const accel = factorTo('accel', accelUnit);
  if (accel === null)
    throw new RangeError(`gravity stands in ${read.unit}, the acceleration in no known unit: state it`);
  return (read.sign * factorTo('accel', read.unit)!) / accel;
}

/** Adds gravity, times a factor, to the acceleration of the same axis, in place. */
export function addGravity(
  accel: ReadonlyMap<MotionRole, Float64Array>,
  gravity: ReadonlyMap<GravityRole, Float64Array>,
  factor: number,
): void {
  for (const [role, values] of gravity) {
    const into = accel.get(accelOf(role));
    if (!into) continue;
    for (let i = 0; i < into.length; ++i) into[i]! += factor * values[i]!;
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
  const { timeUs, columns, gravity, table } = part.prepared;
  const factor = table.plan.gravityFactor;
  const turned = new Map([...columns].map(([role, values]) => [role, values.slice()] as const));
  addGravity(turned, gravity, -2 * factor);
  const sum = agreement(timeUs, columns);
  const difference = agreement(timeUs, turned);
  if (difference >= GOOD_FIT && difference > sum + CLEARLY_BETTER) {
    addGravity(columns, gravity, -2 * factor);
    return withGravity(mapping, 'subtracted', 'taken off, as the rates then agree with how gravity turns');
  }
  const tested = sum >= GOOD_FIT ? '; the rates agree with how the sum turns' : '';
  return withGravity(mapping, 'added', `added to the acceleration without it: what the sensor read${tested}`);
}

function withGravity(mapping: Mapping, unit: 'added' | 'subtracted', how: string): Mapping {
  const columns = mapping.columns.map((column) =>
    isGravityRole(column.role)
      ? { ...column, unit: column.unit.replace(/^[a-z]+/, unit), reason: `${column.reason}: ${how}` }
      : column,
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
