const AXES_OF_A_SENSOR = 3;

/** A name that is an axis and nothing else: it needs a group's name above it. A unit may stand beside it. */
function isBareAxis(cell: string): boolean {
  return /^[xyzw123]([ _-]?axis)?(\s*[([].*)?$/i.test(cell.trim());
}

/** True where most of what a row of names holds are axes, so that the row above may name their groups. */
export function needsGroups(fields: readonly string[]): boolean {
  return fields.filter((field) => isBareAxis(field)).length >= AXES_OF_A_SENSOR;
}

/**
 * Carries a group's name on over the empty cells to its right that stand above axes. It ends where an axis comes a second
 * time, or where something else follows three axes: what stands there belongs to no group that is named. Groups without
 * any cell between them are taken in order, one for each run of axes.
 * @param fields  may end early, or have more fields than the row below
 */
export function spreadGroups(
  fields: readonly string[],
  below: readonly string[] | undefined,
): readonly string[] {
  if (!below) return fields;
  const cells = Array.from(
    { length: Math.max(fields.length, below.length) },
    (_, i) => fields[i]?.trim() ?? '',
  );
  const packed = unpack(cells, below);
  if (packed) return packed;
  let group = '';
  let seen = new Set<string>();
  return cells.map((cell, i) => {
    const name = (below[i] ?? '').trim();
    if (cell !== '') {
      group = cell;
      seen = new Set();
    }
    const axis = name.toLowerCase();
    const isOver = isBareAxis(name) ? seen.has(axis) : seen.size >= AXES_OF_A_SENSOR;
    if (isOver) group = cell;
    if (isBareAxis(name)) seen.add(axis);
    return cell === '' && name !== '' ? group : cell;
  });
}

/** `Accelerometer,Gyroscope` above `time,x,y,z,x,y,z`: no cell tells where a group begins, their number does. */
function unpack(cells: readonly string[], below: readonly string[]): string[] | null {
  const groups = cells.filter((cell) => cell !== '');
  if (groups.length < 2 || groups.length * 2 > below.length || cells.slice(0, groups.length).includes(''))
    return null;
  const starts = below.flatMap((name, i) => (/^[x1]/i.test(name.trim()) && isBareAxis(name) ? [i] : []));
  if (starts.length !== groups.length) return null;
  return below.map((name, i) => {
    const at = starts.findLastIndex((start) => start <= i);
    return at >= 0 && isBareAxis(name) ? groups[at]! : '';
  });
}
