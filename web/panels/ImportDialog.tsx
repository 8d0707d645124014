import type { ColumnMapping, LogReport, Preview } from '../../server/http/schemas.ts';
import { formatClock } from '../charts/stave.ts';
import {
  cancelImport,
  describeImport,
  type Import,
  importing,
  restate,
  storeImport,
} from '../state/importing.ts';
import { workspace } from '../state/workspace.ts';
import { Dialog } from './Dialog.tsx';
import { MappingTable } from './MappingTable.tsx';
import { MountFields } from './MountFields.tsx';

const STAGE_WORDS = { uploading: 'Sending', reading: 'Reading', storing: 'Storing' } as const;

/** How a dropped log is read, for the user to check and correct before anything is stored. */
export function ImportDialog() {
  const now = importing.value;
  if (!now) return null;
  const canStore = now.stage === 'ready' && now.preview?.needs.length === 0 && now.title.trim() !== '';
  return (
    <Dialog title={`Add ${now.fileName}`} onClose={() => void cancelImport()} isWide>
      {now.stage in STAGE_WORDS && (
        <Progress stage={now.stage as keyof typeof STAGE_WORDS} progress={now.progress} />
      )}
      {now.stage === 'failed' && (
        <p class="problem" role="alert">
          <b>This cannot be read as a motion log.</b> {now.error}
        </p>
      )}
      {now.preview && <PreviewParts now={now} preview={now.preview} />}
      <footer>
        {now.waiting > 0 && (
          <span class="quiet">
            {now.waiting} more {now.waiting === 1 ? 'file waits' : 'files wait'}
          </span>
        )}
        <span class="spacer" />
        <button type="button" onClick={() => void cancelImport()}>
          Cancel
        </button>
        <button type="button" class="main" disabled={!canStore} onClick={() => void storeImport()}>
          Add this take
        </button>
      </footer>
    </Dialog>
  );
}

function Progress({
  stage,
  progress,
}: {
  readonly stage: keyof typeof STAGE_WORDS;
  readonly progress: number;
}) {
  return (
    <p class="progress">
      {STAGE_WORDS[stage]}…
      <progress value={progress} max={1} aria-label={STAGE_WORDS[stage]} />
    </p>
  );
}

function PreviewParts({ now, preview }: { readonly now: Import; readonly preview: Preview }) {
  return (
    <>
      {preview.needs.length > 0 && (
        <div class="problem" role="alert">
          <b>To read this log, say:</b>
          <ul>
            {preview.needs.map((need) => (
              <li key={need}>{need}</li>
            ))}
          </ul>
        </div>
      )}
      {preview.report && <ReportFacts report={preview.report} />}
      <Stated now={now} preview={preview} />
      <MappingTable preview={preview} onChange={(column, change) => restateColumn(now, column, change)} />
      <Naming now={now} />
    </>
  );
}

/** A column's new role or unit, on top of what was stated before. */
function restateColumn(
  now: Import,
  column: ColumnMapping,
  change: { role: ColumnMapping['role']; unit: string },
): void {
  const others = (now.overrides.roles ?? []).filter(
    (one) => one.file !== column.file || one.index !== column.index,
  );
  const { role, unit } = change;
  const stated = { file: column.file, index: column.index, role, ...(unit === '' ? {} : { unit }) };
  void restate({ ...now.overrides, roles: [...others, stated] });
}

function ReportFacts({ report }: { readonly report: LogReport }) {
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
      {report.warnings.length > 0 && (
        <ul class="warnings">
          {report.warnings.map((warning) => (
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

/** Rate and mount: what no column tells. */
function Stated({ now, preview }: { readonly now: Import; readonly preview: Preview }) {
  const { mapping } = preview;
  return (
    <div class="stated">
      <label>
        Sample rate, Hz
        <input
          type="text"
          inputMode="decimal"
          placeholder={preview.report ? String(Number(preview.report.rateHz.toFixed(2))) : 'for instance 200'}
          value={now.overrides.rateHz ?? ''}
          onChange={(event) => {
            const rateHz = Number(event.currentTarget.value.replace(',', '.'));
            const { rateHz: _, ...rest } = now.overrides;
            void restate(rateHz > 0 ? { ...rest, rateHz } : rest);
          }}
        />
        <small>{mapping.rateReason}</small>
      </label>
      <MountFields mount={mapping.mount} onChange={(mount) => void restate({ ...now.overrides, mount })} />
      <small>{mapping.mountReason}</small>
    </div>
  );
}

function Naming({ now }: { readonly now: Import }) {
  const performers = [...new Set((workspace.value?.takes ?? []).map((take) => take.performer))];
  return (
    <div class="naming">
      <label>
        Title
        <input
          type="text"
          value={now.title}
          onInput={(event) => describeImport({ title: event.currentTarget.value })}
        />
      </label>
      <label>
        Performer
        <input
          type="text"
          list="performers"
          value={now.performer}
          onInput={(event) => describeImport({ performer: event.currentTarget.value })}
        />
      </label>
      <datalist id="performers">
        {performers.map((name) => (
          <option key={name} value={name} />
        ))}
      </datalist>
      <label>
        Drill
        <input
          type="text"
          placeholder="spin with reversals, single swings, …"
          value={now.drill}
          onInput={(event) => describeImport({ drill: event.currentTarget.value })}
        />
      </label>
    </div>
  );
}
