import { readUnit } from '../ground/units.ts';

/** A number that a program printed, with what it said of it. */
export interface PrintedCell {
  readonly name: string;
  readonly value: string;
}

/** A number that is no part of a name or a unit, or a state behind a colon or an equals sign. */
const VALUE =
  /(?<![\p{L}\d_.^/²])[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?(?!\d|\.\d)|(?<=[:=]\s*)(?:(?:un|not )?pressed|released|idle|held|up|down|on|off|true|false|open|closed|yes|no|high|low|none)(?!\p{L})/giu;
/** A time of day or a date with a time, in front of all. */
const STAMP = /^\s*\[?((?:\d{4}-\d{2}-\d{2}[T ])?\d{1,2}:\d{2}:\d{2}(?:[.,]\d+)?Z?)\]?\s*(?:->|[>,;|:])?\s*/;
const AXES = ['x', 'y', 'z'] as const;
const DEGREES_C = /^(deg|°)\s*[cf]$/i;

interface Found {
  /** Text right before the number, units of the number before taken off. */
  readonly label: string;
  readonly value: string;
  readonly unit: string;
}

/**
 * The numbers of a printed line, each with its name: `Accel X: 0.10, Y: 0.20, Z: 9.81 m/s^2`, `ax=0.1g`,
 * `acc=(0.1, 0.2, 0.3)`. A unit behind the last of several counts for those of the same sensor before it. null where a
 * number has no name, but for a time in front of all.
 */
export function printedCells(line: string): PrintedCell[] | null {
  const stamp = STAMP.exec(line);
  const found = findNumbers(stamp ? line.slice(stamp[0].length) : line);
  const groups = groupByLabel(found);
  if (groups === null) return null;
  let sensor = '';
  const cells: { name: string; unit: string; value: string }[] = [];
  for (const { label, members } of groups) {
    const axis = /^(.*?)[\s_]*([xyz])$/i.exec(label);
    if (members.length === 1 && axis && axis[1] !== '') sensor = axis[1]!;
    const full =
      members.length === 1 && axis && axis[1] === '' && sensor !== '' ? `${sensor} ${label}` : label;
    for (const [i, { value, unit }] of members.entries()) {
      const name =
        members.length === 1
          ? full
          : members.length === 3
            ? `${full} ${AXES[i]}`
            : i === 0
              ? 'time'
              : `${full} ${AXES[i - 1]}`;
      cells.push({ name, unit, value });
    }
  }
  spreadUnits(cells);
  const named = cells.map(({ name, unit, value }) => ({
    name: unit === '' ? name : `${name} (${unit})`,
    value,
  }));
  return stamp && named.length > 0 ? [{ name: 'time', value: stamp[1]! }, ...named] : named;
}

function findNumbers(line: string): Found[] {
  const found: { label: string; value: string; unit: string }[] = [];
  let from = 0;
  for (const match of line.matchAll(VALUE)) {
    const between = line.slice(from, match.index);
    const last = found.at(-1);
    const { unit, rest } = last ? takeUnit(between) : { unit: '', rest: between };
    if (last) last.unit = unit;
    found.push({ label: bareLabel(rest), value: match[0], unit: '' });
    from = match.index + match[0].length;
  }
  const last = found.at(-1);
  if (last) last.unit = takeUnit(line.slice(from)).unit;
  return found;
}

/** A unit at the beginning of the text behind a number, and what is left of that text. */
function takeUnit(text: string): { readonly unit: string; readonly rest: string } {
  const plain = text.replace(/^[\s)\]}]+/, '');
  const words = /^([^\s,;|:=()[\]{}]+)(?:\s+([^\s,;|:=()[\]{}]+))?/.exec(plain);
  if (!words) return { unit: '', rest: text };
  for (const unit of [words[2] === undefined ? '' : `${words[1]} ${words[2]}`, words[1]!]) {
    if (unit === '' || (readUnit(unit) === null && !DEGREES_C.test(unit))) continue;
    const rest = plain.slice(plain.indexOf(unit) + unit.length);
    // A name of one letter is no unit: `g: 0.1` and `s=3` name a number.
    if (/^\s*[:=]/.test(rest)) continue;
    return { unit, rest };
  }
  return { unit: '', rest: text };
}

function bareLabel(text: string): string {
  return text
    .replace(/^[\s,;|)\]}:>"'-]+/, '')
    .replace(/[\s:=([{<,;|>"'+-]+$/, '')
    .trim();
}

/** Numbers without a label of their own go with the label before: three, or a time and three. null where that does not come out. */
function groupByLabel(found: readonly Found[]): { label: string; members: Found[] }[] | null {
  const groups: { label: string; members: Found[] }[] = [];
  for (const [i, number] of found.entries()) {
    const isStamp = i === 0 && number.label === '';
    if (number.label !== '' || isStamp)
      groups.push({ label: isStamp ? 'time' : number.label, members: [number] });
    else if (groups.at(-1)?.label === 'time' && groups.length === 1) return null;
    else groups.at(-1)!.members.push(number);
  }
  const isFair = groups.every(
    ({ label, members }) => [1, 3, 4].includes(members.length) && /\p{L}/u.test(label),
  );
  return isFair ? groups : null;
}

function spreadUnits(cells: { name: string; unit: string; value: string }[]): void {
  for (let i = cells.length - 1; i > 0; --i) {
    const [before, cell] = [cells[i - 1]!, cells[i]!];
    if (before.unit === '' && cell.unit !== '' && sensorOf(before.name) === sensorOf(cell.name))
      before.unit = cell.unit;
  }
}

/** `Accel X` and `Accel Y` are of one sensor, and so are `ax` and `ay`. */
function sensorOf(name: string): string {
  return name.replace(/[\s_]*[xyz]$/i, '').toLowerCase();
}
