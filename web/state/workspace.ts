import { signal } from '@preact/signals';
import type { WorkspaceBody } from '../../server/http/schemas.ts';
import { fetchWorkspace } from '../api.ts';
import { messageOf, notify } from './notices.ts';

/** The workspace as the server last told it; null until it has answered once. */
export const workspace = signal<WorkspaceBody | null>(null);

export async function refreshWorkspace(): Promise<WorkspaceBody | null> {
  try {
    workspace.value = await fetchWorkspace();
    return workspace.value;
  } catch (error) {
    notify('error', messageOf(error), { label: 'Try again', run: () => void refreshWorkspace() });
    return null;
  }
}

let isListWanted = false;

/** For whoever sees that the list is behind: however many see it at once, it is asked for once. */
export function listAnew(): void {
  if (isListWanted) return;
  isListWanted = true;
  queueMicrotask(() => {
    isListWanted = false;
    void refreshWorkspace();
  });
}

/** Leaves takes out that were just removed, before the server tells so: nothing is to ask for them in between. */
export function leaveOutTakes(ids: readonly string[]): void {
  const known = workspace.peek();
  if (known) workspace.value = { ...known, takes: known.takes.filter(({ id }) => !ids.includes(id)) };
}
