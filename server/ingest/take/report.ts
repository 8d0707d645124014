import { MOTION_ROLES, type MotionRole } from '../../engine/base/columnRoles.ts';
import type { MotionLog, Press } from '../../engine/base/log.ts';
import { counted } from '../../engine/words/count.ts';
import { liesStill, peakOf } from '../ground/rest.ts';
import { findGaps, longSteps, regularStep } from '../ground/steps.ts';
import type { ButtonDoubt, LogReport, Mapping } from '../ground/types.ts';
import { unitWords } from '../ground/units.ts';
import { BAD_ROWS_LISTED } from '../table/tableBuilder.ts';
import { formatMoment } from '../text/iso8601.ts';
import { lacksGravity } from '../units/accelGuess.ts';
import type { ChannelSaturation } from '../units/saturation.ts';
import type { JoinedMotion } from './join.ts';
import type { FilePart } from './prepare.ts';
import { epochMicros, type PreparedTable } from './prepare.ts';

export interface ReportFacts {
  readonly parts: readonly FilePart[];
  readonly mapping: Mapping;
  readonly joined: JoinedMotion;
  readonly log: MotionLog;
  readonly saturation: ReadonlyMap<MotionRole, ChannelSaturation>;
  readonly presses: readonly Press[];
  readonly warnings: readonly string[];
  readonly doubts: readonly ButtonDoubt[];
  /** |f| at rest. */
  readonly restG: number;
}

const GAPS_LISTED = 50;
/** Clocks of loggers go wrong by less. */
const RATES_DIFFER = 0.02;

/** Counts what was read and says what was mended. */
export function makeReport(facts: ReportFacts): LogReport {
  const { parts, mapping, joined, log, saturation, presses } = facts;
  const { timeUs } = log;
  const prepared = parts.map((part) => part.prepared);
  const sum = (count: (table: PreparedTable) => number) =>
    prepared.reduce((total, table) => total + count(table), 0);
  const step = regularStep(timeUs);
  const gaps = findGaps(timeUs, step);
  return {
    columns: mapping.columns,
    rows: timeUs.length,
    badRows: prepared.flatMap(({ badRows }) => badRows).slice(0, BAD_ROWS_LISTED),
    badRowCount: sum(({ badRowCount }) => badRowCount),
    rateHz: roundTo(1e6 / step, 1e-4),
    rateReason: rateReason(mapping, step, joined.base.axis.evened),
    durationS: timeUs.at(-1)! / 1e6,
    zeroRows: sum(({ zeroRows }) => zeroRows),
    evened: joined.base.axis.evened,
    duplicates: sum(({ axis }) => axis.duplicates),
    backwards: sum(({ axis }) => axis.backwards),
    ...longSteps(timeUs, step),
    gaps: gaps.length,
    gapList: gaps
      .slice(0, GAPS_LISTED)
      .map(({ startUs, endUs }) => ({ startS: startUs / 1e6, endS: endUs / 1e6 })),
    saturated: countSaturated(saturation),
    peakRateDps: peakOf({ x: log.gyroXDps, y: log.gyroYDps, z: log.gyroZDps }),
    peakAccelG: peakOf({ x: log.accelXG, y: log.accelYG, z: log.accelZG }),
    presses: countPresses(presses),
    warnings: [
      ...joined.notes,
      ...prepared.flatMap(clockWarnings),
      ...facts.warnings,
      ...otherWarnings(facts, 1e6 / step),
    ],
    buttonDoubts: facts.doubts,
    startTime: startTime(joined),
  };
}

function rateReason(mapping: Mapping, stepUs: number, evened: LogReport['evened']): string {
  const clock = mapping.columns.find(({ role }) => role === 'time');
  const isClock = clock !== undefined && clock.unit !== 'counter';
  if (isClock && evened === 'stated' && mapping.evenHz !== undefined) return mapping.rateReason;
  if (isClock && evened === 'bunches')
    return `mean pace of the stamps in column "${clock.name}", which come in bunches`;
  return isClock
    ? `mean step of ${roundTo(stepUs / 1000, 1e-4)} ms in column "${clock.name}"`
    : mapping.rateReason;
}

function clockWarnings({ axis, table, clockUnit, notes }: PreparedTable): string[] {
  const found = [...notes];
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

function otherWarnings({ parts, mapping, log, saturation, restG }: ReportFacts, rateHz: number): string[] {
  const found: string[] = [];
  const bad = parts.reduce((sum, { prepared }) => sum + prepared.badRowCount, 0);
  if (bad > 0) found.push(`${counted(bad, 'row')} could not be used: see the list of bad rows`);
  for (const [role, { count }] of saturation) {
    if (count > 0)
      found.push(
        `${role} is stuck at the end of its range in ${counted(count, 'sample')}: peaks there are larger than shown`,
      );
  }
  if (!lacksGravity(restG) && Math.abs(restG - 1) > 0.05) {
    found.push(
      liesStill(log)
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
    `the clock's stamps give ${Number(rateHz.toPrecision(4))} Hz, not ${statedHz} Hz (${why}): the clock is followed; to let the stated rate overrule it, choose the even clock (--clock even --rate ${statedHz})`,
  ];
}

function countSaturated(saturation: ReadonlyMap<MotionRole, ChannelSaturation>): Record<MotionRole, number> {
  return Object.fromEntries(MOTION_ROLES.map((role) => [role, saturation.get(role)?.count ?? 0])) as Record<
    MotionRole,
    number
  >;
}

function countPresses(presses: readonly Press[]): { button: string; count: number }[] {
  const counts = new Map<string, number>();
  for (const { button } of presses) counts.set(button, (counts.get(button) ?? 0) + 1);
  return [...counts].map(([button, count]) => ({ button, count }));
}

function startTime({ base, startUs }: JoinedMotion): string | null {
  const epoch = epochMicros(base);
  return epoch === null ? null : formatMoment(epoch.seconds, epoch.micros + startUs);
}

function roundTo(value: number, grain: number): number {
  return Number((Math.round(value / grain) * grain).toPrecision(12));
}
