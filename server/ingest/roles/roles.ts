import { COLUMN_ROLES, isAxis, type MotionRole, type Role } from '../../engine/base/columnRoles.ts';
import { withNotes } from '../ground/columnNotes.ts';
import type { LedgerEntry } from '../ground/ledger.ts';
import { STATED_BY_YOU, type WhyStated } from '../ground/remembered.ts';
import type { ColumnMapping, HeldMotion, RoleOverride } from '../ground/types.ts';
import { NOUNS } from '../ground/units.ts';
import { presentTexts } from '../layout/columnSample.ts';
import type { FileHead } from '../layout/fileHead.ts';
import { columnsOf, findTriples, type NamedColumn, type Triple } from '../layout/triples.ts';
import { buttonUnit, guessButton } from './buttonGuess.ts';
import { type ClockChoice, chooseClock } from './chooseClock.ts';
import { statedTimeUnit, weighClock } from './clockGuess.ts';
import { guessDecision } from './decisionColumns.ts';
import { statedCandidate } from './sensorPairs.ts';
import { type GravityChoice, weighGravity } from './weighGravity.ts';
import { type OpenRole, weighSensors } from './weighSensors.ts';

/** A role for every column, what was weighed for it, and what stays open. */
interface GuessedRoles {
  readonly columns: readonly ColumnMapping[];
  readonly ledger: readonly LedgerEntry[];
  readonly open: readonly OpenRole[];
}

interface Assigned {
  readonly role: Role;
  readonly unit: string;
  readonly reason: string;
  readonly notes?: readonly string[];
}

const AXES = ['X', 'Y', 'Z'] as const;
const SEVERAL = 12;

/**
 * Guesses what each column is, from names first and from the data where there are none. Units of acceleration and rates
 * are '' until the data have been read.
 */
export function guessRoles(
  heads: readonly FileHead[],
  overrides: readonly RoleOverride[],
  why: WhyStated = STATED_BY_YOU,
): GuessedRoles {
  const all = heads.flatMap(({ columns }) => columns);
  const columnOf = ({ file, index }: RoleOverride) => heads[file]?.columns[index];
  const taken = new Set(
    overrides.filter((own) => !own.role.startsWith(columnOf(own)?.reading.kind ?? '')).map(columnOf),
  );
  const free = all.filter((column) => !taken.has(column));
  const statedAs = (kind: 'accel' | 'gyro') =>
    statedCandidate(kind, overrides, heads, (own) => why('roles', own));
  const chosen = weighSensors(heads, free, { accel: statedAs('accel'), gyro: statedAs('gyro') });
  const { accel, gyro, accelTriples, gyroTriples } = chosen;
  const stated = new Set(overrides.map(({ role }) => role));
  const assigned = new Map<NamedColumn, Assigned>();
  for (const triple of [accel, gyro]) {
    if (triple)
      assignTriple(triple, triple === accel ? accelTriples : gyroTriples, all, stated, chosen.note, assigned);
  }
  const gravity =
    accel && !stated.has('accelX') && !stated.has('gravityX') ? weighGravity(accel, free) : null;
  if (gravity?.columns) assignGravity(gravity, columnsOf(accel!, all), accel!, assigned);
  const ledger = [...chosen.ledger, ...(gravity?.ledger ?? [])];
  const open = [...chosen.open];
  if (gravity?.need) open.push({ kind: 'gravity', file: null, need: gravity.need });
  for (const [file, head] of heads.entries()) {
    if (overrides.some((own) => own.role === 'time' && own.file === file)) continue;
    const free = head.columns.filter((column) => !assigned.has(column) && !taken.has(column));
    const choice = chooseClock(head, free, heads.length > 1);
    assignClock(choice, assigned);
    ledger.push(...choice.ledger);
    if (choice.need !== null) open.push({ kind: 'time', file, need: choice.need });
  }
  for (const own of overrides) {
    const column = columnOf(own);
    if (!column) continue;
    const { role, unit = unitOf(role, column, heads[column.file]!) } = own;
    assigned.set(
      column,
      withNotes<Assigned>({ role, unit, reason: why('roles', own) }, doubtsOf(role, column)),
    );
  }
  const columns = all.map((column): ColumnMapping => {
    const { file, index, name } = column;
    return { file, index, name, ...(assigned.get(column) ?? assignOther(column, heads[file]!)) };
  });
  return { columns, ledger, open };
}

/** What one file holds by itself, going by names, or by the data where names tell nothing. */
export function motionIn(head: FileHead): HeldMotion {
  // Names that tell both need no weighing.
  const isNamed = (kind: 'accel' | 'gyro') => findTriples(head.columns, kind).length > 0;
  if (isNamed('accel') && isNamed('gyro')) return { accel: true, gyro: true };
  const { accelTriples, gyroTriples } = weighSensors([head], head.columns);
  return { accel: accelTriples.length > 0, gyro: gyroTriples.length > 0 };
}

/** What speaks against a role that was stated. */
function doubtsOf(role: Role, { name, sample }: NamedColumn): string[] {
  const isNumber = sample.kind === 'number' || sample.kind === 'empty';
  if (isAxis(role) && !isNumber)
    return [`column "${name}" is set to ${role}, but its first values are no numbers`];
  const isBusy = COLUMN_ROLES[role].reads === 'presses' && presentTexts(sample).length > SEVERAL;
  return isBusy ? [`column "${name}" is set to ${role}, but it takes too many values for one`] : [];
}

function hasHeader({ layout }: FileHead): boolean {
  return layout.headerLine !== null;
}

function assignTriple(
  triple: Triple,
  rivals: readonly Triple[],
  all: readonly NamedColumn[],
  stated: ReadonlySet<Role>,
  doubt: string | null,
  assigned: Map<NamedColumn, Assigned>,
): void {
  const noun = NOUNS[triple.kind];
  const others =
    rivals.length > 1
      ? `; preferred to ${rivals.length - 1} other ${noun} triple${rivals.length > 2 ? 's' : ''}`
      : '';
  for (const rival of rivals) {
    if (rival === triple) continue;
    const why = whyWorse(rival, triple) ?? 'the first of several alike is taken';
    const reason = `another ${noun} was preferred: ${why}`;
    for (const column of columnsOf(rival, all))
      if (!assigned.has(column)) assigned.set(column, { role: 'ignored', unit: '', reason });
  }
  const note = doubt ?? twinNote(triple, rivals, all);
  const notes = note === null ? [] : [note];
  for (const [axis, column] of columnsOf(triple, all).entries()) {
    const role = `${triple.kind}${AXES[axis]!}` as MotionRole;
    const { reading } = column;
    const basis =
      reading.kind === triple.kind
        ? (reading.why ?? `its name says ${noun}`)
        : `its values look like ${noun}`;
    if (!stated.has(role))
      assigned.set(
        column,
        withNotes<Assigned>(
          { role, unit: '', reason: `${basis}, ${AXES[axis]!.toLowerCase()}${others}` },
          notes,
        ),
      );
  }
}

/** Another sensor of the same make: the user may have meant that one. */
function twinNote(triple: Triple, rivals: readonly Triple[], all: readonly NamedColumn[]): string | null {
  const twins = rivals.filter((rival) => rival !== triple && whyWorse(rival, triple) === null);
  const names = [triple, ...twins].map((own) => columnsOf(own, all)[0]!.reading.group.trim());
  if (twins.length === 0 || new Set(names).size < names.length) return null;
  const noun = triple.kind === 'accel' ? 'acceleration' : 'rates';
  return `several sensors hold ${noun}: "${names[0]}" is read, ${names
    .slice(1)
    .map((name) => `"${name}"`)
    .join(', ')} left alone`;
}

/** Why a triple was left for the chosen one; null where the two are alike. */
function whyWorse(rival: Triple, chosen: Triple): string | null {
  const own = rival.traits.filter((trait) => !chosen.traits.includes(trait));
  const words: Readonly<Record<string, string>> = {
    raw: 'this one is raw',
    estimated: 'this one is an estimate',
    otherFrame: 'this one is turned into another frame',
    noGravity: 'this one may lack gravity',
    uncalibrated: 'this one is not calibrated',
    secondary: 'this one is not the sensor itself',
  };
  return own.map((trait) => words[trait]).find((why) => why !== undefined) ?? null;
}

function assignGravity(
  { columns, unit }: GravityChoice,
  own: readonly NamedColumn[],
  { statedUnit }: Triple,
  assigned: Map<NamedColumn, Assigned>,
): void {
  for (const [axis, column] of (columns ?? []).entries())
    assigned.set(column, {
      role: `gravity${AXES[axis]!}`,
      unit: unit === null ? 'added' : `added:${unit}`,
      reason: column.reading.why ?? 'its name says gravity',
    });
  if (unit === null) return;
  // Two units can only be added where both are known before the rows are read.
  for (const column of own) {
    const known = assigned.get(column);
    if (known) assigned.set(column, { ...known, unit: statedUnit! });
  }
}

function assignClock({ clock, candidates, need }: ClockChoice, assigned: Map<NamedColumn, Assigned>): void {
  for (const { column, score, reason } of candidates) {
    const why = need === null ? 'another clock was preferred' : 'it is open which column is the clock';
    assigned.set(column, { role: 'ignored', unit: '', reason: score < 0 ? reason : why });
  }
  if (clock) {
    const { column, unit, reason, notes } = clock;
    assigned.set(column, withNotes<Assigned>({ role: 'time', unit, reason }, notes));
  }
}

function assignOther(column: NamedColumn, { layout }: FileHead): Assigned {
  const { notes } = layout;
  const isNamed = layout.headerLine !== null;
  const { reading, sample } = column;
  const ignored = (reason: string): Assigned => ({ role: 'ignored', unit: '', reason });
  const decision = isNamed ? guessDecision(column) : null;
  if (decision !== null)
    return decision.role === null
      ? ignored(decision.reason)
      : { role: decision.role, unit: '', reason: decision.reason };
  const button = guessButton(column, isNamed, notes);
  if (button !== null)
    return button.unit === null
      ? ignored(button.reason)
      : { role: 'button', unit: button.unit, reason: button.reason };
  const present = presentTexts(sample);
  const isTexty =
    sample.kind === 'text' || (sample.kind === 'number' && sample.isWhole && present.length <= SEVERAL);
  if (reading.kind === 'label' && (isTexty || sample.kind === 'empty')) {
    return { role: 'label', unit: '', reason: 'its name says label' };
  }
  if (sample.kind === 'text' && reading.kind !== 'other') {
    if (present.length < 2) return ignored('the same text throughout');
    if (sample.distinct.length >= 40) return ignored('its text changes all the time');
    return { role: 'label', unit: '', reason: 'text that holds over stretches of rows' };
  }
  if (sample.kind === 'empty') return ignored('it is empty');
  return ignored(otherReason(column));
}

function otherReason({ reading, sample }: NamedColumn): string {
  if (reading.kind === 'other') return reading.why ?? `its name says ${reading.what}`;
  if (reading.kind === 'gyro' || reading.kind === 'accel') {
    const noun = NOUNS[reading.kind];
    return reading.axis === null ? `${noun} without an axis` : `${noun}, but x, y and z are not all there`;
  }
  if (sample.distinct.length === 2 && sample.distinct.every((text) => text === '0' || text === '1')) {
    return 'only 0 and 1, but nothing says that it is a button';
  }
  return 'nothing tells what it is';
}

/** The unit of a column in a role that is no motion. '' for a clock whose unit is not known: then the user has to state it. */
function unitOf(role: Role, column: NamedColumn, head: FileHead): string {
  switch (COLUMN_ROLES[role].units) {
    case 'time':
      return statedTimeUnit(column) ?? weighedTimeUnit(column, head);
    case 'gravity':
      return 'added';
    case 'button':
      return buttonUnit(column);
    default:
      return '';
  }
}

/** The time unit of a column that was guessed to be the clock. */
function weighedTimeUnit(column: NamedColumn, head: FileHead): string {
  const found = weighClock(column, hasHeader(head) ? column.reading : null, head.facts.rateHz);
  return found && found.score >= 0 && found.unit !== 'counter' ? found.unit : '';
}
