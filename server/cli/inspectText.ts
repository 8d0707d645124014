import { COLUMN_ROLES, type Role } from '../engine/base/columnRoles.ts';
import { hasStamps } from '../engine/check/clock.ts';
import { counted } from '../engine/words/count.ts';
import type { LogReport, Preview } from '../ingest/ground/types.ts';
import { unitWords } from '../ingest/ground/units.ts';

const BAD_ROWS_SHOWN = 10;
const GAPS_SHOWN = 10;

/** What has to be said of a log, with the options that say it. */
export function neededOf({ needs, isClockOpen }: Preview): readonly string[] {
  const clock = '--clock even, with --rate HZ where the sample rate is known, or --clock stamps';
  return isClockOpen ? needs.map((need) => `${need} (${clock})`) : needs;
}

/** A report for people to read. */
export function describePreview(names: readonly string[], preview: Preview): string {
  const { report, mapping } = preview;
  const lines = [names.join(' + ')];
  if (report) lines.push(...describeReport(report));
  if (report && !mapping.columns.some(({ role }) => COLUMN_ROLES[role].reads === 'presses'))
    lines.push('  no button column: without presses the guard can be judged by motion alone');
  for (const need of neededOf(preview)) lines.push(`  needed: ${need}`);
  lines.push('  columns:');
  for (const { role, name, unit, reason, file } of report?.columns ?? mapping.columns) {
    const place = names.length > 1 ? `${names[file]}: ` : '';
    lines.push(
      `    ${role.padEnd(8)} ${place}${name}${unit === '' ? '' : ` [${shownUnit(role, unit)}]`} (${reason})`,
    );
  }
  return `${lines.join('\n')}\n`;
}

function describeReport(report: LogReport): string[] {
  const { rows, rateHz, durationS, duplicates, backwards, gaps, badRowCount } = report;
  const { zeroRows = 0 } = report;
  const stamps =
    hasStamps(report) || duplicates + backwards > 0
      ? [counted(duplicates, 'duplicate row'), counted(backwards, 'backwards stamp')]
      : ['no stamps'];
  const zeros = zeroRows > 0 ? [`${counted(zeroRows, 'row')} of zeros`] : [];
  const lines = [
    `  ${rows} samples, ${durationS.toFixed(3)} s, ${Number(rateHz.toFixed(3))} Hz (${report.rateReason})`,
    `  peak rate ${report.peakRateDps.toFixed(1)} °/s, peak acceleration ${report.peakAccelG.toFixed(2)} g`,
    `  ${[...stamps, counted(gaps, 'gap'), counted(badRowCount, 'bad row'), ...zeros].join(', ')}`,
  ];
  if (report.longSteps > 0) {
    lines.push(
      `  ${counted(report.longSteps, 'step')} over twice the regular one, the longest ${report.longestStepMs.toFixed(1)} ms`,
    );
  }
  if (report.startTime !== null) lines.push(`  starts ${report.startTime}`);
  for (const { startS, endS } of report.gapList.slice(0, GAPS_SHOWN)) {
    lines.push(`  gap from ${startS.toFixed(3)} to ${endS.toFixed(3)} s`);
  }
  if (gaps > GAPS_SHOWN) lines.push(`  ... and ${counted(gaps - GAPS_SHOWN, 'more gap')}`);
  const stuck = Object.entries(report.saturated).filter(([, count]) => count > 0);
  lines.push(`  saturated: ${stuck.map(([channel, count]) => `${channel} ${count}`).join(', ') || 'none'}`);
  for (const { button, count } of report.presses)
    lines.push(`  ${counted(count, 'press', 'presses')} of ${button}`);
  for (const { file, line, column, why } of report.badRows.slice(0, BAD_ROWS_SHOWN)) {
    lines.push(`  bad row: ${file}, line ${line}${column === null ? '' : `, column ${column}`}: ${why}`);
  }
  if (badRowCount > BAD_ROWS_SHOWN)
    lines.push(`  ... and ${counted(badRowCount - BAD_ROWS_SHOWN, 'more bad row')}`);
  for (const warning of report.warnings) lines.push(`  note: ${warning}`);
  const turned = report.buttonDoubts?.flatMap(({ turned: unit, name }) =>
    unit === null ? [] : [`  to read ${name} the other way round: --map button:${unit}=${name}`],
  );
  lines.push(...new Set(turned));
  return lines;
}

function shownUnit(role: Role, unit: string): string {
  const { units } = COLUMN_ROLES[role];
  return units === null || units === 'gravity' || units === 'button' ? unit : unitWords(units, unit);
}
