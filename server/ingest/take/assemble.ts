import { COLUMN_ROLES, isDecision, MOTION_ROLES, type MotionRole } from '../../engine/base/columnRoles.ts';
import type { LoggedDecisions } from '../../engine/base/decisions.ts';
import type { MotionLog, Press } from '../../engine/base/log.ts';
import { hasStamps } from '../../engine/check/clock.ts';
import { judgeStatedRate } from '../../engine/check/statedRate.ts';
import { rateText } from '../../engine/words/check/recording.ts';
import { LogFormatError } from '../../errors.ts';
import { columnNotes } from '../ground/columnNotes.ts';
import { disorderText } from '../ground/disorder.ts';
import { restLevel } from '../ground/rest.ts';
import type { ButtonDoubt, Mapping, ReadTake, TextSpan } from '../ground/types.ts';
import { factorTo } from '../ground/units.ts';
import { type DecisionCell, findOddCell, readDecisions } from '../roles/decisionColumns.ts';
import { readPresses, readTextSpans } from '../roles/tracks.ts';
import { TRACK_EVENTS_AT_MOST } from '../table/rawTable.ts';
import { lacksGravity, NO_GRAVITY_WARNING } from '../units/accelGuess.ts';
import { type ChannelSaturation, markSaturation } from '../units/saturation.ts';
import { buttonDoubts, turnedUnit } from './buttonDoubts.ts';
import { type JoinedMotion, joinTables } from './join.ts';
import { clockOffsetUs, type FilePart, type PreparedTable } from './prepare.ts';
import { makeReport } from './report.ts';
import { oddDecisionText } from './words.ts';

const TEXT_SPANS_AT_MOST = 20_000;
const NO_DECISIONS: LoggedDecisions = { guardClosed: null, refusedUs: null, fires: null };

/**
 * Makes a take of prepared tables: joins files, marks saturation, converts units (in place), reads presses and text.
 * @throws LogFormatError  where no row holds all six values, rows stand out of order, or files have no time in common
 */
export function assembleTake(parts: readonly FilePart[], mapping: Mapping): ReadTake {
  refuseDisorder(parts, mapping);
  const saturation = new Map<MotionRole, ChannelSaturation>();
  const masks = parts.map(({ file, prepared }) => markFile(file, prepared, mapping, saturation));
  const joined = joinParts(parts, masks);
  for (const [role, values] of joined.columns) scale(values, factorOf(mapping, role));
  const log = toLog(joined);
  const endUs = log.timeUs.at(-1)!;
  const tracks = readTracks(parts, joined, mapping, endUs);
  const restG = restLevel({ x: log.accelXG, y: log.accelYG, z: log.accelZG }).norm;
  const warnings = [
    ...columnNotes(mapping.columns),
    ...(lacksGravity(restG) ? [NO_GRAVITY_WARNING] : []),
    ...statedRateDoubt(log, mapping),
    ...tracks.warnings,
  ];
  const report = makeReport({
    parts,
    mapping,
    joined,
    log,
    saturation,
    presses: tracks.presses,
    warnings,
    doubts: tracks.doubts,
    restG,
  });
  const { presses, textSpans, decisions } = tracks;
  return { log, saturated: joined.mask, presses, textSpans, decisions, report };
}

/** A rate that stands in for a clock, where the motion tells another. */
function statedRateDoubt(log: MotionLog, { columns, rateHz }: Mapping): string[] {
  if (rateHz === null || hasStamps({ columns })) return [];
  const found = judgeStatedRate(log, rateHz);
  return found?.kind === 'misfits' ? [rateText(found)] : [];
}

function refuseDisorder(parts: readonly FilePart[], { columns }: Mapping): void {
  for (const { file, prepared } of parts) {
    if (!prepared.isOutOfOrder) continue;
    const clock = columns.find((column) => column.file === file && column.role === 'time');
    throw new LogFormatError(disorderText(clock?.name ?? ''), { file: prepared.table.plan.file.name });
  }
}

/**
 * The six columns on one clock, values as in the files: one file's, or two files' joined.
 * @param masks  saturated rows of each; none by default
 */
export function joinParts(
  parts: readonly FilePart[],
  masks: readonly Uint8Array[] = parts.map(({ prepared }) => new Uint8Array(prepared.timeUs.length)),
): JoinedMotion {
  const withGyro = parts.findIndex(({ prepared }) => prepared.columns.has('gyroX'));
  const withAccel = parts.findIndex(({ prepared }) => prepared.columns.has('accelX'));
  if (withGyro < 0 || withAccel < 0) throw new LogFormatError('a take needs acceleration and angular rate');
  const base = parts[withGyro]!.prepared;
  const other = parts[withAccel]!.prepared;
  if (Math.min(base.timeUs.length, other.timeUs.length) < 2) {
    throw new LogFormatError(whyNoRows(parts), { file: base.table.plan.file.name });
  }
  if (base !== other) return joinTables(base, other, [masks[withGyro]!, masks[withAccel]!]);
  const { timeUs, columns } = base;
  return { timeUs, columns, mask: masks[withGyro]!, base, startUs: 0, mended: [] };
}

function markFile(
  file: number,
  prepared: PreparedTable,
  mapping: Mapping,
  saturation: Map<MotionRole, ChannelSaturation>,
): Uint8Array {
  const mask = new Uint8Array(prepared.timeUs.length);
  for (const [role, values] of prepared.columns) {
    if (mapping.columns.some((column) => column.file === file && column.role === role)) {
      saturation.set(role, markSaturation(values, COLUMN_ROLES[role].units, factorOf(mapping, role), mask));
    }
  }
  return mask;
}

/** What a channel's values in the file are multiplied by to be deg/s or g. */
export function factorOf(mapping: Mapping, role: MotionRole): number {
  const { unit, name } = mapping.columns.find((column) => column.role === role)!;
  const factor = factorTo(COLUMN_ROLES[role].units, unit);
  if (factor === null) throw new RangeError(`column ${name} has no usable unit: "${unit}"`);
  return factor;
}

function scale(values: Float64Array, factor: number): void {
  if (factor === 1) return;
  for (let i = 0; i < values.length; ++i) values[i]! *= factor;
}

function toLog({ timeUs, columns }: JoinedMotion): MotionLog {
  const [gyroXDps, gyroYDps, gyroZDps, accelXG, accelYG, accelZG] = MOTION_ROLES.map(
    (role) => columns.get(role)!,
  );
  return {
    timeUs,
    gyroXDps: gyroXDps!,
    gyroYDps: gyroYDps!,
    gyroZDps: gyroZDps!,
    accelXG: accelXG!,
    accelYG: accelYG!,
    accelZG: accelZG!,
  };
}

function whyNoRows(parts: readonly FilePart[]): string {
  const first = parts.flatMap(({ prepared }) => prepared.badRows)[0];
  const why = first ? ` (line ${first.line}: ${first.why})` : '';
  return `fewer than two rows hold a time and all six values${why}`;
}

function readTracks(
  parts: readonly FilePart[],
  joined: JoinedMotion,
  mapping: Mapping,
  endUs: number,
): Pick<ReadTake, 'textSpans' | 'decisions'> & {
  presses: Press[];
  warnings: string[];
  doubts: ButtonDoubt[];
} {
  const presses: Press[] = [];
  const textSpans: TextSpan[] = [];
  const warnings: string[] = [];
  const doubts: ButtonDoubt[] = [];
  let decisions: LoggedDecisions | null = null;
  for (const { file, prepared } of parts) {
    const offsetUs = prepared === joined.base ? 0 : clockOffsetUs(joined.base, prepared);
    for (const [i, track] of prepared.table.plan.tracks.entries()) {
      const column = mapping.columns.find((mapped) => mapped.file === file && mapped.index === track.index)!;
      if (offsetUs === null) {
        warnings.push(`${column.name} was left out: its file's clock has no common zero with the motion's`);
        continue;
      }
      const texts = timeTexts(prepared, i, offsetUs - joined.startUs);
      const { reads } = COLUMN_ROLES[track.role];
      if (texts.length === TRACK_EVENTS_AT_MOST && (reads === 'presses' || isDecision(track.role))) {
        const text = `${column.name} changes ${texts.length} times or more, as no button and no decision does: nothing was read from it`;
        warnings.push(text);
        if (reads === 'presses')
          doubts.push({ file, index: track.index, name: column.name, text, turned: null });
        continue;
      }
      if (isDecision(track.role)) {
        const odd = findOddCell(track.role, texts);
        if (odd) warnings.push(oddDecisionText(prepared.table, track.index, column.name, track.role, odd));
        else decisions = { ...(decisions ?? NO_DECISIONS), ...readDecisions(track.role, texts, endUs) };
        continue;
      }
      if (reads === 'presses') {
        const pressed = readPresses(texts, column.name, column.unit, endUs);
        for (const press of pressed) presses.push(press);
        const turned = turnedUnit(texts, column.unit, endUs);
        for (const text of buttonDoubts(texts, pressed, column.name, column.unit, endUs)) {
          warnings.push(text);
          doubts.push({ file, index: track.index, name: column.name, text, turned });
        }
      } else if (texts.length > TEXT_SPANS_AT_MOST)
        warnings.push(`${column.name} changes ${texts.length} times: it is no label`);
      else for (const span of readTextSpans(texts, endUs)) textSpans.push(span);
    }
  }
  presses.sort((a, b) => a.downUs - b.downUs);
  return { presses, textSpans, decisions, warnings, doubts };
}

function timeTexts({ table, axis }: PreparedTable, track: number, shiftUs: number): DecisionCell[] {
  const { file, tracks } = table.plan;
  const isComma = file.decimal === ',' && COLUMN_ROLES[tracks[track]!.role].reads === 'presses';
  const cells = table.trackEvents[track]!.map(({ row, text }) => {
    const before = Math.max(0, Math.floor(row));
    const rowUs = axis.rowUs[before] ?? 0;
    return { row, timeUs: Math.max(0, rowUs + shiftUs), text: isComma ? withPoint(text) : text };
  });
  return inOrder(cells);
}

/** As the rows are sorted by time, so are the texts; of a stretch that stands in the log twice one is left. */
function inOrder(cells: DecisionCell[]): DecisionCell[] {
  if (cells.every(({ timeUs }, i) => i === 0 || timeUs >= cells[i - 1]!.timeUs)) return cells;
  cells.sort((a, b) => a.timeUs - b.timeUs);
  return cells.filter(({ timeUs, text }, i) => {
    const before = cells[i - 1];
    return before?.timeUs !== timeUs || before.text !== text;
  });
}

/** A state that is a number reads the same in every log. */
function withPoint(text: string): string {
  return text.replace(/^([+-]?\d+),(\d+)$/, '$1.$2');
}
