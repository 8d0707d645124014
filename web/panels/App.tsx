import { messageOf, notify } from '../state/notices.ts';
import { loadTake, takeStatus } from '../state/openTake.ts';
import { workspace } from '../state/workspace.ts';
import { DropZone } from './DropZone.tsx';
import { pulledPanel } from './folding.ts';
import { HelpDialog } from './HelpDialog.tsx';
import { ImportDialog } from './ImportDialog.tsx';
import { Notices } from './Notices.tsx';
import { pickFiles } from './pickFiles.ts';
import { ScorePanel } from './ScorePanel.tsx';
import { SettingsPanel } from './SettingsPanel.tsx';
import { TakeList } from './TakeList.tsx';
import { TakePanel } from './TakePanel.tsx';
import { TopBar } from './TopBar.tsx';
import { TuneView } from './TuneView.tsx';

export function App() {
  return (
    <>
      <TopBar />
      <div class="body" data-pulled={pulledPanel.value ?? 'none'}>
        <aside class="side takes">
          <TakeList />
        </aside>
        <main>
          <Middle />
        </main>
        <aside class="side panels" aria-label="Settings and scores">
          {takeStatus.value.kind === 'open' && (
            <>
              <ScorePanel />
              <SettingsPanel />
              <TakePanel />
            </>
          )}
        </aside>
      </div>
      <DropZone />
      <ImportDialog />
      <HelpDialog />
      <Notices />
    </>
  );
}

function Middle() {
  const status = takeStatus.value;
  switch (status.kind) {
    case 'open':
      return <TuneView key={status.take.document.id} take={status.take} />;
    case 'loading':
      return <p class="empty">Reading the take…</p>;
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

function Empty() {
  if (!workspace.value) return <p class="empty">Reading the workspace…</p>;
  if (workspace.value.demoJobId !== null)
    return <p class="empty">Reading the demo takes for the first time. This takes a few seconds.</p>;
  return (
    <div class="empty">
      <p>
        <b>Nothing recorded yet.</b>
      </p>
      <p>
        Log the accelerometer, the gyroscope and the power button of your prop as CSV, 100 Hz or more, and
        drop the file anywhere on this page.
      </p>
      <button type="button" class="main" onClick={pickFiles}>
        Add recordings
      </button>
    </div>
  );
}
