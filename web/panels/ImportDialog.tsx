import type { Preview } from '../../server/http/schemas.ts';
import { cancelImport, describeImport, restate, storeImport, storeReread } from '../state/importing.ts';
import { type Import, importing, type Reading } from '../state/importState.ts';
import { withColumn, withSign } from '../state/statements.ts';
import { workspace } from '../state/workspace.ts';
import { Dialog } from './Dialog.tsx';
import { ButtonDoubts } from './import/ButtonDoubts.tsx';
import { ClockField } from './import/ClockField.tsx';
import { FilesLine } from './import/FilesLine.tsx';
import { ImportProblem } from './import/ImportProblem.tsx';
import { KnownFiles } from './import/KnownFiles.tsx';
import { LedgerTable } from './import/LedgerTable.tsx';
import { Needs } from './import/Needs.tsx';
import { NoButton } from './import/NoButton.tsx';
import { RateField } from './import/RateField.tsx';
import { RememberedLine } from './import/RememberedLine.tsx';
import { ReportFacts } from './import/ReportFacts.tsx';
import { WhichWay } from './import/WhichWay.tsx';
import { MappingTable } from './MappingTable.tsx';

const STAGE_WORDS = { uploading: 'Sending', reading: 'Reading', storing: 'Storing' } as const;

/** How a dropped log is read, for the user to check and correct before anything is stored. */
export function ImportDialog() {
  const now = importing.value;
  if (!now) return null;
  const { reading } = now;
  const isRead = now.stage === 'ready' && now.wrongRate === null;
  const canStore = isRead && reading?.preview.needs.length === 0 && now.title.trim() !== '';
  const title = now.take === null ? `Add ${namesOf(now.files)}` : `Columns of “${now.title}”`;
  return (
    <Dialog title={title} onClose={() => void cancelImport()} isWide>
      {now.stage in STAGE_WORDS && (
        <Progress stage={now.stage as keyof typeof STAGE_WORDS} progress={now.progress} />
      )}
      {now.stage === 'failed' && <ImportProblem now={now} />}
      {now.labelsLost !== null && <LabelsLost said={now.labelsLost} />}
      {reading && <PreviewParts now={now} reading={reading} isRead={isRead} />}
      <footer>
        <FilesLine now={now} />
        <span class="spacer" />
        <button type="button" onClick={() => void cancelImport()}>
          Cancel
        </button>
        {now.take === null ? (
          <button type="button" class="main" disabled={!canStore} onClick={() => void storeImport()}>
            Add this take
          </button>
        ) : (
          <button type="button" class="main" disabled={!canStore} onClick={() => void storeReread(false)}>
            Read the take so
          </button>
        )}
      </footer>
    </Dialog>
  );
}

function namesOf(files: readonly File[]): string {
  const names = files.map((file) => file.name);
  return names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
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

/** Labels of the stored take that fit the new reading no longer: nothing has been changed yet. */
function LabelsLost({ said }: { readonly said: string }) {
  return (
    <div class="problem" role="alert">
      <p>
        <b>Some labels would go.</b> Read like this, the take no longer holds all that they are about. {said}{' '}
        Nothing has been changed yet; export the labels first if you may want them again.
      </p>
      <p class="problem-actions">
        <button type="button" onClick={() => void storeReread(true)}>
          Read it so, without them
        </button>
      </p>
    </div>
  );
}

/** The result of reading. Figures of an earlier statement are greyed, so that they do not stand for the present one. */
function PreviewParts({
  now,
  reading,
  isRead,
}: {
  readonly now: Import;
  readonly reading: Reading;
  readonly isRead: boolean;
}) {
  const { preview } = reading;
  return (
    <>
      {now.stage === 'ready' && <Needs now={now} preview={preview} />}
      <KnownFiles known={preview.known} of={reading.files.length} />
      <RememberedLine now={now} preview={preview} />
      {preview.report && (
        <section class={isRead ? 'read' : 'read is-stale'} aria-label="What was read" aria-busy={!isRead}>
          <ReportFacts report={preview.report} />
        </section>
      )}
      {isRead && preview.report && (
        <NoButton
          preview={preview}
          onTake={(column) => void restate(withColumn(now.overrides, column, { role: 'button', unit: '' }))}
        />
      )}
      {isRead && (
        <ButtonDoubts
          preview={preview}
          onTurn={(column, unit) => void restate(withColumn(now.overrides, column, { role: 'button', unit }))}
          onLeave={(column) => void restate(withColumn(now.overrides, column, { role: 'ignored', unit: '' }))}
        />
      )}
      <WhichWay mapping={preview.mapping} onState={(mount) => void restate({ ...now.overrides, mount })} />
      <Stated now={now} preview={preview} />
      <MappingTable
        preview={preview}
        stated={now.overrides}
        onChange={(column, change) => void restate(withColumn(now.overrides, column, change))}
        onReverse={(column, reversed) => void restate(withSign(now.overrides, column, reversed))}
      />
      {now.stage === 'ready' && <LedgerTable preview={preview} />}
      {now.take === null && <Naming now={now} />}
    </>
  );
}

/** Clock and rate, as far as no column tells. */
function Stated({ now, preview }: { readonly now: Import; readonly preview: Preview }) {
  return (
    <div class="stated">
      <ClockField now={now} preview={preview} />
      <RateField now={now} preview={preview} />
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
          maxLength={200}
          onInput={(event) => describeImport({ title: event.currentTarget.value })}
        />
      </label>
      <label>
        Performer
        <input
          type="text"
          list="performers"
          value={now.performer}
          maxLength={200}
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
          maxLength={200}
          onInput={(event) => describeImport({ drill: event.currentTarget.value })}
        />
      </label>
    </div>
  );
}
