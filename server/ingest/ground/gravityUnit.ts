import { factorTo } from './units.ts';

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
