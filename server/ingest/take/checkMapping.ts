import { COLUMN_ROLES, isAxis, MOTION_ROLES, sensorOf } from '../../engine/base/columnRoles.ts';
import { type FileMapping, isDelimiter, type Mapping } from '../ground/types.ts';
import { canonicalUnit, NOUNS } from '../ground/units.ts';

/**
 * Refuses a mapping by which no file can be cut into fields: reading by it may never end, or yield other columns than
 * it names.
 * @throws RangeError  naming the file and what is wrong
 */
export function checkMapping({ files, columns }: Mapping): void {
  for (const [i, file] of files.entries()) {
    const why = whyNotCut(file);
    if (why !== null) throw new RangeError(`mapping.files[${i}] (${file.name}): ${why}`);
  }
  const odd = columns.find(({ reversed, role }) => reversed && !isAxis(role));
  if (odd) throw new RangeError(`column "${odd.name}" is ${odd.role}: it has no sign to reverse`);
}

/**
 * Refuses a mapping that makes no take: each axis is one column, a sensor's three stand in one file, units are known, and
 * so is the rate or the time.
 * @throws RangeError  naming the axis or the column
 */
export function checkAxes({ columns, rateHz, evenHz }: Mapping): void {
  for (const role of MOTION_ROLES) {
    const count = columns.filter((column) => column.role === role).length;
    if (count === 0) throw new RangeError(`no column is mapped to ${role}: say which one it is`);
    if (count > 1) throw new RangeError(`${count} columns are mapped to ${role}: keep one of them`);
  }
  for (const sensor of ['gyro', 'accel'] as const) {
    const own = columns.filter(({ role }) => isAxis(role) && sensorOf(role) === sensor);
    if (new Set(own.map(({ file }) => file)).size > 1)
      throw new RangeError(`the three axes of ${NOUNS[sensor]} stand in several files: name columns of one`);
  }
  for (const { name, role, unit } of columns) {
    const { units } = COLUMN_ROLES[role];
    const isUnit =
      units === 'time' || units === 'accel' || units === 'gyro' ? canonicalUnit(units, unit) !== null : true;
    if (!isUnit) throw new RangeError(`column "${name}" is ${role}, and "${unit}" is no unit of it`);
  }
  const isTimed = (file: number) =>
    columns.some((column) => column.file === file && column.role === 'time' && column.unit !== 'counter');
  if (
    rateHz === null &&
    evenHz === undefined &&
    !columns.every(({ file, role }) => !isAxis(role) || isTimed(file))
  )
    throw new RangeError('no column tells the time, and no rate is stated: give the sample rate in Hz');
}

function whyNotCut({ delimiter, comment, firstDataLine, headerLine }: FileMapping): string | null {
  const shown = JSON.stringify(delimiter);
  if (!isDelimiter(delimiter))
    return `${shown} is no delimiter: give one character that no number, word or quoted text holds, such as "," or ";"`;
  if (comment !== null && !/^[^\s\p{L}\p{N}"+.-]{1,8}$/u.test(comment))
    return `${JSON.stringify(comment)} cannot start a comment: give a mark such as "#", or null where there are none`;
  if (headerLine !== null && headerLine >= firstDataLine)
    return `the header stands in line ${headerLine}, and the rows start in line ${firstDataLine}: it must stand above them`;
  return null;
}
