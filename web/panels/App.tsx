import { messageOf, notify } from '../state/notices.ts';
import { loadTake, type OpenTake, takeStatus } from '../state/openTake.ts';
import { sight } from '../state/store.ts';
import { workspace } from '../state/workspace.ts';
import { ConflictDialog } from './ConflictDialog.tsx';
import { DropZone } from './DropZone.tsx';
import { FirstRun } from './FirstRun.tsx';
import { pulledPanel } from './folding.ts';
import { HelpDialog } from './HelpDialog.tsx';
import { ImportDialog } from './ImportDialog.tsx';
import { LabelsPanel } from './labels/LabelsPanel.tsx';
import { Notices } from './Notices.tsx';
import { ReplayFold } from './replay/ReplayParts.tsx';
import { ScorePanel } from './ScorePanel.tsx';
import { SettingsPanel } from './SettingsPanel.tsx';
import { ReceiveDialog } from './share/ReceiveDialog.tsx';
import { ShareDialog } from './share/ShareDialog.tsx';
import { TakeList } from './TakeList.tsx';
import { TakePanel } from './TakePanel.tsx';
import { TopBar } from './TopBar.tsx';
import { EarlyTrace } from './tune/EarlyTrace.tsx';
import { VIEW_PARTS } from './views.tsx';

export function App() {
  const { Whole, hasFoldedSide } = viewParts();
  const isBare = workspace.value?.takes.length === 0 && takeStatus.value.kind === 'none';
  return (
    <>
      <button type="button" class="skip" onClick={() => document.getElementById('main')?.focus()}>
        Skip to the view
      </button>
      <TopBar />
      <div
        class="body"
        data-pulled={pulledPanel.value ?? 'none'}
        data-width={Whole || isBare ? 'whole' : hasFoldedSide ? 'folded' : undefined}
      >
        <aside class="side takes">
          <TakeList />
        </aside>
        <main id="main" tabIndex={-1}>
          {Whole ? <Whole /> : <Middle />}
        </main>
        {hasFoldedSide && !isBare && <Rail />}
        {!Whole && !isBare && (
          <aside class="side panels" aria-label="Settings and scores">
            {takeStatus.value.kind === 'open' && (
              <>
                <ScorePanel />
                {sight.view.value === 'tune' && <ReplayFold take={takeStatus.value.take} />}
                <LabelsPanel />
                <SettingsPanel />
                <TakePanel />
              </>
            )}
          </aside>
        )}
      </div>
      <DropZone />
      <ImportDialog />
      <ReceiveDialog />
      <ShareDialog />
      <ConflictDialog />
      <HelpDialog />
      <Notices />
    </>
  );
}

/** Where settings and scores are folded away in a wide window, what pulls them out and puts them back. */
function Rail() {
  const isOut = pulledPanel.value === 'settings';
  return (
    <button
      type="button"
      class="rail"
      data-pulls="settings"
      aria-expanded={isOut}
      onClick={() => (pulledPanel.value = isOut ? null : 'settings')}
    >
      <span aria-hidden="true">{isOut ? '▸' : '◂'}</span> Scores and settings
    </button>
  );
}

function Middle() {
  const status = takeStatus.value;
  const { Early } = viewParts();
  if (Early && (status.kind === 'open' || status.kind === 'loading')) return <Early />;
  switch (status.kind) {
    case 'open':
      return <OpenView take={status.take} />;
    case 'loading':
      return <EarlyTrace takeId={status.takeId} />;
    case 'failed':
      return (
        <div class="empty" role="alert">
          <p>
            <b>This take cannot be shown.</b>
          </p>
          <p>{status.message}</p>
          <button
            type="button"
            onClick={() => loadTake(status.takeId).catch((error) => notify('error', messageOf(error)))}
          >
            Try again
          </button>
        </div>
      );
    case 'none':
      return <Empty />;
  }
}

function viewParts() {
  return VIEW_PARTS[sight.view.value];
}

function OpenView({ take }: { readonly take: OpenTake }) {
  const { Panel } = viewParts();
  return Panel && <Panel key={take.document.id} take={take} />;
}

function Empty() {
  if (!workspace.value) return <p class="empty">Reading the workspace…</p>;
  if (workspace.value.demoJobId !== null)
    return <p class="empty">Reading the demo takes for the first time. This takes a few seconds.</p>;
  return <FirstRun />;
}
