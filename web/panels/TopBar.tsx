import { chooseTheme, type ThemeChoice, themeChoice } from '../charts/palette.ts';
import { saveState } from '../state/saving.ts';
import { step } from '../state/steps.ts';
import { canRedo, canUndo, dispatch, sight } from '../state/store.ts';
import { VIEW_FACTS, VIEWS } from '../state/views.ts';
import { workspace } from '../state/workspace.ts';
import { pulledPanel } from './folding.ts';
import { helpIsOpen } from './HelpDialog.tsx';
import { pickFiles } from './pickFiles.ts';
import { moveFocus } from './roving.ts';
import { VIEW_PARTS } from './views.tsx';

const SAVE_WORDS = { saved: 'Saved', saving: 'Saving…', failed: 'Not saved' };
const NEXT_THEME: Readonly<Record<ThemeChoice, ThemeChoice>> = {
  system: 'light',
  light: 'dark',
  dark: 'system',
};
const THEME_WORDS = { system: 'Follows the system', light: 'Light', dark: 'Dark' };

const SHORT_THEME_WORDS = { system: 'auto', light: 'light', dark: 'dark' };

/** Name, commands of the whole page, and whether the work is saved. */
export function TopBar() {
  const theme = themeChoice.value;
  return (
    <header class="top">
      <button
        type="button"
        class="fold"
        data-pulls="takes"
        aria-label="Show or hide the takes"
        aria-expanded={pulledPanel.value === 'takes'}
        onClick={() => toggle('takes')}
      >
        ☰
      </button>
      <h1>Moulinet</h1>
      <nav class="views" aria-label="Views">
        {VIEWS.map((id, place) => {
          const { Mark } = VIEW_PARTS[id];
          return (
            <button
              key={id}
              type="button"
              aria-current={sight.view.value === id ? 'page' : undefined}
              tabIndex={sight.view.value === id ? 0 : -1}
              onKeyDown={(event) => moveFocus(event, '.views button')}
              title={place < 9 ? `Key ${place + 1}` : undefined}
              onClick={() => dispatch({ type: 'viewChosen', view: id })}
            >
              {VIEW_FACTS[id].name}
              {Mark && <Mark />}
            </button>
          );
        })}
      </nav>
      <span class="workspace-name" title={workspace.value?.path}>
        {workspace.value?.name}
      </span>
      <span class="save-state" data-save={saveState.value} role="status">
        {SAVE_WORDS[saveState.value]}
      </span>
      <span class="spacer" />
      <button type="button" disabled={!canUndo.value} title="Undo (Ctrl+Z)" onClick={() => step('undone')}>
        Undo
      </button>
      <button
        type="button"
        disabled={!canRedo.value}
        title="Redo (Ctrl+Shift+Z)"
        onClick={() => step('redone')}
      >
        Redo
      </button>
      <button
        type="button"
        title={`${THEME_WORDS[theme]}: switch the colours`}
        onClick={() => chooseTheme(NEXT_THEME[theme])}
      >
        <span aria-hidden="true">◐</span> <span class="unseen">Colours: </span>
        {SHORT_THEME_WORDS[theme]}
      </button>
      <button type="button" title="Keys, and cautions (?)" onClick={() => (helpIsOpen.value = true)}>
        Keys and cautions
      </button>
      <button type="button" class="main" onClick={pickFiles}>
        Add recordings
      </button>
      <button
        type="button"
        class="fold"
        data-pulls="settings"
        title="Scores, labels and settings"
        aria-label="Show or hide the settings"
        aria-expanded={pulledPanel.value === 'settings'}
        onClick={() => toggle('settings')}
      >
        ⚙
      </button>
    </header>
  );
}

function toggle(panel: 'takes' | 'settings'): void {
  pulledPanel.value = pulledPanel.value === panel ? null : panel;
}
