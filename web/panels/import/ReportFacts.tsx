import type { LogReport } from '../../../server/http/schemas.ts';
import { formatClock } from '../../charts/stave.ts';

/** The log in figures, its warnings, and the rows that were left out. */
export function ReportFacts({ report }: { readonly report: LogReport }) {
  const facts: [string, string][] = [
    ['Rows', report.rows.toLocaleString('en')],
    ['Rate', `${Number(report.rateHz.toFixed(2))} Hz`],
    ['Length', formatClock(report.durationS, 1)],
    ['Peak rate', `${report.peakRateDps.toFixed(0)} °/s`],
    ['Peak force', `${report.peakAccelG.toFixed(2)} g`],
    ['Gaps', String(report.gaps)],
    ['Bad rows', String(report.badRowCount)],
    ['Repeated stamps', String(report.duplicates)],
    ['Presses', report.presses.map((one) => `${one.button} ${one.count}`).join(', ') || 'none'],
  ];
  // Doubts about a button stand in a box of their own.
  const doubts = new Set(report.buttonDoubts?.map(({ text }) => text));
  const warnings = report.warnings.filter((warning) => !doubts.has(warning));
  return (
    <>
      <dl class="facts">
        {facts.map(([name, value]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
      {warnings.length > 0 && (
        <ul class="warnings">
          {warnings.map((warning) => (
            <li key={warning}>{warning}</li>
          ))}
        </ul>
      )}
      {report.badRowCount > 0 && (
        <details>
          <summary>Rows left out: {report.badRowCount}</summary>
          <ul class="bad-rows">
            {report.badRows.map((row) => (
              <li key={`${row.file}${row.line}`}>
                line {row.line}
                {row.column === null ? '' : `, column ${row.column}`}: {row.why}
              </li>
            ))}
          </ul>
        </details>
      )}
    </>
  );
}
