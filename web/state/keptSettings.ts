import { signal } from '@preact/signals';
import type { Candidate } from '../../server/engine/settings/candidate.ts';
import type { NewSettingBody, StoredSetting } from '../../server/http/schemas.ts';
import {
  ApiError,
  addSetting,
  deleteSetting,
  fetchSettings,
  importSetting,
  putSetting,
  restoreSetting,
} from '../api.ts';
import { chooseFile } from './chooseFiles.ts';
import { notifyUndoable } from './history.ts';
import type { Slot } from './model.ts';
import { messageOf, notify } from './notices.ts';
import { candidates, dispatch } from './store.ts';
import { tellConflict } from './tellConflict.ts';

/** The kept settings of the workspace, by name; null until they are read. */
export const keptSettings = signal<readonly StoredSetting[] | null>(null);

/** What a person says of a setting. */
export type SettingNames = Pick<NewSettingBody, 'name' | 'prop' | 'performers' | 'note'>;

/** The setting that a candidate is kept as, value by value; null where it is none. */
export function keptAs(candidate: Candidate): StoredSetting | null {
  const text = JSON.stringify(candidate);
  return (keptSettings.value ?? []).find((one) => JSON.stringify(one.candidate) === text) ?? null;
}

export async function refreshSettings(): Promise<void> {
  try {
    const { settings, problems } = await fetchSettings();
    keptSettings.value = settings;
    for (const problem of problems) notify('error', problem);
  } catch (error) {
    notify('error', messageOf(error), { label: 'Try again', run: () => void refreshSettings() });
  }
}

/** Keeps a candidate under a name. @returns null where that failed, and was told */
export function keepCandidate(slot: Slot, names: SettingNames): Promise<StoredSetting | null> {
  return stored(() => addSetting({ ...names, candidate: candidates[slot].peek(), evidence: null }));
}

/** Puts a candidate in the place of a setting's values; what was judged of the old ones goes. */
export function keepInstead(setting: StoredSetting, slot: Slot): Promise<StoredSetting | null> {
  return stored(() => change(setting, { candidate: candidates[slot].peek(), evidence: null }));
}

export function changeSetting(
  setting: StoredSetting,
  what: Partial<NewSettingBody>,
): Promise<StoredSetting | null> {
  return stored(() =>
    change(setting, what).catch(async (error: unknown) => {
      if (!(error instanceof ApiError && error.status === 409)) throw error;
      await refreshSettings();
      const theirs = keptSettings.peek()?.find(({ id }) => id === setting.id);
      if (!theirs) throw error;
      tellConflict(`the setting “${setting.name}”`, theirs, what, () => void changeSetting(theirs, what));
      return theirs;
    }),
  );
}

function change(setting: StoredSetting, what: Partial<NewSettingBody>): Promise<StoredSetting> {
  const { name, prop, performers, note, candidate, evidence, id, revision } = setting;
  return putSetting(id, { revision, name, prop, performers, note, candidate, evidence, ...what });
}

/** Puts a setting on the bench, as A or B. */
export function loadSetting({ name, candidate }: StoredSetting, slot: Slot): void {
  dispatch({ type: 'candidateReplaced', slot, candidate });
  notifyUndoable(`Candidate ${slot.toUpperCase()} is now the setting “${name}”.`);
}

export async function removeSetting({ id, name }: StoredSetting): Promise<void> {
  try {
    await deleteSetting(id);
    keptSettings.value = (keptSettings.peek() ?? []).filter((one) => one.id !== id);
    notify('fact', `Removed the setting “${name}”.`, {
      label: 'Restore',
      run: () => void stored(() => restoreSetting(id)),
    });
  } catch (error) {
    notify('error', messageOf(error));
  }
}

/** Undoes that a candidate was kept. */
export async function takeBackKeep(id: string): Promise<void> {
  const setting = (keptSettings.peek() ?? []).find((one) => one.id === id);
  if (!setting) return void notify('fact', 'The setting that was kept there is gone already.');
  try {
    await deleteSetting(id);
    keptSettings.value = (keptSettings.peek() ?? []).filter((one) => one.id !== id);
    notify('fact', `Undone: “${setting.name}” is not kept any more.`, undefined, 'history');
  } catch (error) {
    notify('error', messageOf(error));
  }
}

/** Keeps what was just taken back. @returns null where that failed, and was told */
export async function keepAgain(id: string): Promise<StoredSetting | null> {
  const setting = await stored(() => restoreSetting(id));
  if (setting) notify('fact', `Done again: “${setting.name}” is kept.`, undefined, 'history');
  return setting;
}

/** Adds the setting of a file to the workspace. */
export function pickSetting(): void {
  chooseFile('.json,application/json', async (file) => {
    try {
      note(await importSetting(await file.text()));
      notify('fact', `The setting of ${file.name} is kept here now.`);
    } catch (error) {
      notify('error', `${file.name}: ${messageOf(error)}`);
    }
  });
}

async function stored(store: () => Promise<StoredSetting>): Promise<StoredSetting | null> {
  try {
    return note(await store());
  } catch (error) {
    notify('error', messageOf(error), {
      label: 'Read the settings again',
      run: () => void refreshSettings(),
    });
    return null;
  }
}

function note(setting: StoredSetting): StoredSetting {
  const others = (keptSettings.peek() ?? []).filter(({ id }) => id !== setting.id);
  keptSettings.value = [...others, setting].sort((a, b) => a.name.localeCompare(b.name));
  return setting;
}
