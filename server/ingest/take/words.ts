import type { DecisionRole, MotionRole } from '../../engine/base/columnRoles.ts';
import { counted } from '../../engine/words/count.ts';
import type { JoinedFiles, Mended } from '../ground/mended.ts';
import type { Mapping } from '../ground/types.ts';
import { unitWords } from '../ground/units.ts';
import { EXPECTED, type OddCell } from '../roles/decisionColumns.ts';
import { lineOfRow, type RawTable } from '../table/rawTable.ts';
import { shorten } from '../text/cells.ts';
import { lacksGravity } from '../units/accelGuess.ts';
import type { ChannelSaturation } from '../units/saturation.ts';
import type { PreparedTable } from './prepare.ts';

/** Lines and runs of lines that a sentence names. */
const SHOWN = 3;
/** Clocks of loggers go wrong by less. */
const RATES_DIFFER = 0.02;

/** What was mended, as a sentence of the report. */
export function mendedText(mended: Mended): string {
  switch (mended.kind) {
    case 'shiftedCodes':
      return `the codes stand ${mended.by} too high: that was taken off`;
    case 'unsignedCodes':
      return `codes above ${2 ** (mended.bits - 1) - 1} stand for negative ones of ${mended.bits} bits: their sign was put back`;
    case 'captureEnds':
      return captureEndsText(mended.lines);
    case 'counterWraps':
      return `the counter wraps ${mended.wraps} times at ${mended.modulus}: unwrapped; a loss of ${mended.modulus} rows or more does not show`;
    case 'counterLeaps':
      return `the counter in column ${mended.column} goes up by ${mended.by} from row to row, so the rate of rows is taken as 1/${mended.by} of the stated one: if the stated rate is that of the rows, say that the column is no clock`;
    case 'counterDoubted': {
      const { column, shared } = mended;
      const why =
        shared === null
          ? 'its steps are uneven'
          : `${counted(shared, 'row has', 'rows have')} the same number as the row before`;
      return `the counter in column ${column} does not count the rows one by one (${why}): the rows are counted instead, and whether some were lost is not known`;
    }
    case 'zeroRows': {
      const where = mended.runs.map(([first, last]) =>
        first === last ? `line ${first}` : `lines ${first} to ${last}`,
      );
      return `${counted(mended.rows, 'row holds zeros alone', 'rows hold zeros alone')} (${some(where)}): nothing was measured there, so they were left out; among other rows they leave a gap`;
    }
    case 'absurdRows':
      return mended.rows === 1
        ? '1 row holds an absurd value, such as no sensor gives: it was left out, see the list of bad rows'
        : `${mended.rows} rows hold absurd values, such as no sensor gives: they were left out, see the list of bad rows`;
    case 'bunches':
      return `the stamps come in bunches of about ${Math.round(mended.rows)} rows every ${lastingText(roundTo(mended.cycleUs))}, at an even pace: rows were spread evenly at the mean rate of ${figureHz(mended.meanHz)} Hz, no row counts as lost; to state the rate yourself, or to keep the stamps, set the clock`;
    case 'evenSteps':
      return mended.isStated
        ? `rows were set at even steps of the stated rate of ${figureHz(mended.hz)} Hz; the stamps tell only where longer breaks are`
        : `rows were set at even steps, at the mean pace of the stamps (${figureHz(mended.hz)} Hz), as stated`;
    case 'cutStamps':
      return `stamps are multiples of ${lastingText(mended.gridUs)}: ${mended.rows} rows were spread evenly`;
    case 'sharedStamps':
      return `${mended.rows} rows share the stamp of the row before (the clock steps by ${lastingText(mended.stepUs)}): they were spread evenly`;
    case 'joinedRows':
      return `rates and acceleration stand in rows of their own: joined on time, interpolated at ${mended.interpolated} of ${mended.rows} rows`;
    case 'joinedFiles':
      return joinedFilesText(mended);
  }
}

/** A cell of what the prop decided that says nothing known: none of its column is read. @param index  from 0 */
export function oddDecisionText(
  table: RawTable,
  index: number,
  name: string,
  role: DecisionRole,
  { row, text }: OddCell,
): string {
  const line = lineOfRow(table, Math.max(0, Math.floor(row)));
  const cell = text === '' ? 'the cell is empty' : `"${shorten(text)}" is none of that`;
  return `${table.plan.file.name}, line ${line}, column ${index + 1} (${name}): ${EXPECTED[role]} was expected, and ${cell}; what the prop decided there is not known, and the column was left out`;
}

function captureEndsText(lines: readonly number[]): string {
  const [what, each] = lines.length === 1 ? ['an end of a capture', 'a gap'] : ['ends of captures', 'gaps'];
  return `blank lines or lines without numbers before line ${some(lines.map(String))} are taken as ${what} and shown as ${each}: without a clock nobody knows how long they last`;
}

function joinedFilesText(joined: JoinedFiles): string {
  const { base, other, offsetUs, rows, interpolated, lost, lostAtStart, over } = joined;
  const parts = [
    offsetUs === 0 ? 'both start together' : `${other} starts ${Math.round(offsetUs) / 1e3} ms after ${base}`,
    interpolated === 0
      ? 'their stamps agree'
      : `${other} was interpolated at ${interpolated} of ${rows} rows`,
  ];
  if (lost > 0)
    parts.push(`${lost} rows of ${base} have no partner and were left out (${lostAtStart} at the start)`);
  if (over > 0) parts.push(`${over} rows of ${other} have no partner and were left out`);
  return `two files joined on time: ${parts.join('; ')}`;
}

/** What was mended in one file's table. */
export function tableWarnings({ axis, table, clockUnit, mended }: PreparedTable): string[] {
  const found = mended.map(mendedText);
  if (axis.wraps > 0)
    found.push(
      `the clock wraps ${counted(axis.wraps, 'time')} at ${axis.wrapAt} (${unitWord(clockUnit)}): unwrapped`,
    );
  if (axis.restarts > 0)
    found.push(`the clock starts anew ${counted(axis.restarts, 'time')}: each is shown as a gap`);
  const late = axis.backwards - axis.restarts;
  if (late > 0)
    found.push(
      `${counted(late, 'row')} out of order: sorted by time, or left out where the stamp is a stray`,
    );
  if (axis.duplicates > 0)
    found.push(`${counted(axis.duplicates, 'row')} with the stamp of the row before left out`);
  if (table.eventRows > 0)
    found.push(`${counted(table.eventRows, 'row')} without motion carry a button's or a label's text only`);
  if (table.leapSeconds > 0)
    found.push(`${counted(table.leapSeconds, 'stamp')} in a leap second, taken as the second after`);
  return found;
}

function unitWord(unit: string): string {
  return unit === 'timeOfDay' ? 'µs, midnight' : unitWords('time', unit);
}

/** What the user should hear of a take, whatever was mended. */
export interface TakeFacts {
  readonly mapping: Mapping;
  readonly badRowCount: number;
  readonly saturation: ReadonlyMap<MotionRole, ChannelSaturation>;
  /** |f| at rest, and whether the sensor lies still anywhere. */
  readonly restG: number;
  readonly isStill: boolean;
  readonly rateHz: number;
}

export function takeWarnings({
  mapping,
  badRowCount,
  saturation,
  restG,
  isStill,
  rateHz,
}: TakeFacts): string[] {
  const found: string[] = [];
  if (badRowCount > 0)
    found.push(`${counted(badRowCount, 'row')} could not be used: see the list of bad rows`);
  for (const [role, { count }] of saturation) {
    if (count > 0)
      found.push(
        `${role} is stuck at the end of its range in ${counted(count, 'sample')}: peaks there are larger than shown`,
      );
  }
  if (!lacksGravity(restG) && Math.abs(restG - 1) > 0.05) {
    found.push(
      isStill
        ? `at rest |f| reads ${restG.toFixed(3)} g instead of 1: the accelerometer's scale or bias is off`
        : `where the force is steadiest |f| reads ${restG.toFixed(3)} g instead of 1; nothing lies still here, so that may be motion, or the accelerometer's scale or bias`,
    );
  }
  found.push(...rateDoubts(mapping, rateHz));
  if (rateHz < 10)
    found.push(
      `a row every ${(1000 / rateHz).toPrecision(3)} ms is no motion log: is the clock's unit right?`,
    );
  else if (rateHz < 50)
    found.push(`at ${rateHz.toFixed(1)} Hz a swing has few samples: 100 Hz or more is better`);
  return found;
}

/** A rate that somebody stated, where the clock tells another. */
function rateDoubts(
  { columns, rateHz: statedHz, evenHz, rateReason: why }: Mapping,
  rateHz: number,
): string[] {
  const hasClock = columns.some(({ role, unit }) => role === 'time' && unit !== 'counter');
  if (!hasClock || statedHz === null || evenHz !== undefined) return [];
  if (Math.abs(Math.log(rateHz / statedHz)) < RATES_DIFFER) return [];
  return [
    `the clock's stamps give ${Number(rateHz.toPrecision(4))} Hz, not ${statedHz} Hz (${why}): the clock is followed; to let the stated rate overrule it, choose the even clock`,
  ];
}

function some(parts: readonly string[]): string {
  const shown = parts.slice(0, SHOWN).join(', ');
  return parts.length > SHOWN ? `${shown} and ${parts.length - SHOWN} more` : shown;
}

function roundTo(us: number): number {
  return us >= 1e4 ? Math.round(us / 1e3) * 1e3 : Math.round(us);
}

function figureHz(hz: number): number {
  return Number(hz.toPrecision(5));
}

function lastingText(us: number): string {
  if (us >= 1e6) return `${us / 1e6} s`;
  return us >= 1e3 ? `${us / 1e3} ms` : `${us} us`;
}
