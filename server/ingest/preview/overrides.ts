import { COLUMN_ROLES, ROLES } from '../../engine/base/columnRoles.ts';
import {
  isStatedRate,
  STATED_RATE_HZ_AT_LEAST,
  STATED_RATE_HZ_AT_MOST,
} from '../../engine/base/statedRate.ts';

import { readGravityUnit } from '../ground/gravityUnit.ts';
import { CLOCK_USES, type Overrides } from '../ground/types.ts';
import { canonicalUnit, NOUNS, UNIT_EXAMPLES } from '../ground/units.ts';
import { BUTTON_UNIT_EXAMPLES, isButtonUnit } from '../roles/tracks.ts';

/** @throws RangeError  where what is stated makes no sense, whatever the log */
export function checkOverrides({
  rateHz,
  clock,
  timeUnit,
  accelUnit,
  gyroUnit,
  roles,
  reversed,
}: Overrides): void {
  if (rateHz !== undefined && !isStatedRate(rateHz)) {
    throw new RangeError(
      `the rate must lie between ${STATED_RATE_HZ_AT_LEAST} and ${STATED_RATE_HZ_AT_MOST} Hz, got ${rateHz}`,
    );
  }
  if (clock !== undefined && !CLOCK_USES.includes(clock))
    throw new RangeError(`the clock is "even" or "stamps", not "${clock}"`);
  const units = [
    ['time', timeUnit],
    ['accel', accelUnit],
    ['gyro', gyroUnit],
  ] as const;
  for (const [quantity, text] of units) {
    if (text !== undefined && canonicalUnit(quantity, text) === null)
      throw new RangeError(`"${text}" is no unit of ${NOUNS[quantity]}: give ${UNIT_EXAMPLES[quantity]}`);
  }
  for (const { file, index } of [...(roles ?? []), ...(reversed ?? [])]) {
    const isPlace = Number.isInteger(file) && file >= 0 && Number.isInteger(index) && index >= 0;
    if (!isPlace) throw new RangeError(`there is no column ${index} of file ${file}`);
  }
  for (const { role, unit } of roles ?? []) {
    if (!ROLES.includes(role)) throw new RangeError(`"${role}" is nothing that a column can be`);
    const { units } = COLUMN_ROLES[role];
    if (unit === undefined) continue;
    if (units === 'gravity' && readGravityUnit(unit) === null)
      throw new RangeError(
        `gravity is "added" or "subtracted" ("added:m/s2" where its unit is another one), not "${unit}"`,
      );
    if (units === 'button' && !isButtonUnit(unit))
      throw new RangeError(`a button is ${BUTTON_UNIT_EXAMPLES}, not "${unit}"`);
  }
}
