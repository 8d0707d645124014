import { isAxis } from '../../engine/base/columnRoles.ts';
import { type FileMapping, isDelimiter, type Mapping } from '../ground/types.ts';

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
