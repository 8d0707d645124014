import { signal } from '@preact/signals';
import type { RemovedTakes } from '../../server/http/schemas.ts';
import { fetchRemoved } from '../api.ts';
import { messageOf, notify } from './notices.ts';

/** What lies in the workspace's trash; null until it was asked for. */
export const removedTakes = signal<RemovedTakes | null>(null);

export async function refreshRemoved(): Promise<void> {
  try {
    removedTakes.value = await fetchRemoved();
  } catch (error) {
    notify('error', messageOf(error));
  }
}
