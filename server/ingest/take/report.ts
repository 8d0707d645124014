import { MOTION_ROLES, type MotionRole } from '../../engine/base/columnRoles.ts';
import type { MotionLog, Press } from '../../engine/base/log.ts';
import { liesStill, peakOf } from '../ground/rest.ts';
import { findGaps, longSteps, regularStep } from '../ground/steps.ts';
import type { ButtonDoubt, LogReport, Mapping } from '../ground/types.ts';
import { BAD_ROWS_LISTED } from '../table/tableBuilder.ts';
import { formatMoment } from '../text/iso8601.ts';
import type { ChannelSaturation } from '../units/saturation.ts';
import type { JoinedMotion } from './join.ts';
import type { FilePart } from './prepare.ts';
import { epochMicros, type PreparedTable } from './prepare.ts';
import { mendedText, tableWarnings, takeWarnings } from './words.ts';

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

/** Counts what was read and says what was mended. */
export function makeReport(facts: ReportFacts): LogReport {
  const { parts, mapping, joined, log, saturation, presses } = facts;
  const { timeUs } = log;
  const prepared = parts.map((part) => part.prepared);
  const sum = (count: (table: PreparedTable) => number) =>
    prepared.reduce((total, table) => total + count(table), 0);
  const badRowCount = sum((table) => table.badRowCount);
  const step = regularStep(timeUs);
  const gaps = findGaps(timeUs, step, GAPS_LISTED);
  return {
    columns: mapping.columns,
    rows: timeUs.length,
    badRows: prepared.flatMap(({ badRows }) => badRows).slice(0, BAD_ROWS_LISTED),
    badRowCount,
    rateHz: roundTo(1e6 / step, 1e-4),
    rateReason: rateReason(mapping, step, joined.base.axis.evened),
    durationS: timeUs.at(-1)! / 1e6,
    zeroRows: sum(({ zeroRows }) => zeroRows),
    evened: joined.base.axis.evened,
    duplicates: sum(({ axis }) => axis.duplicates),
    backwards: sum(({ axis }) => axis.backwards),
    ...longSteps(timeUs, step),
    gaps: gaps.count,
    gapList: gaps.first.map(({ startUs, endUs }) => ({ startS: startUs / 1e6, endS: endUs / 1e6 })),
    saturated: countSaturated(saturation),
    peakRateDps: peakOf({ x: log.gyroXDps, y: log.gyroYDps, z: log.gyroZDps }),
    peakAccelG: peakOf({ x: log.accelXG, y: log.accelYG, z: log.accelZG }),
    presses: countPresses(presses),
    warnings: [
      ...joined.mended.map(mendedText),
      ...prepared.flatMap(tableWarnings),
      ...facts.warnings,
      ...takeWarnings({
        mapping,
        badRowCount,
        saturation,
        restG: facts.restG,
        isStill: liesStill(log),
        rateHz: 1e6 / step,
      }),
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
