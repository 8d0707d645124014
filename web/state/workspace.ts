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
