/**
 * Tries for the lock of a folder whenever it is told to, at the moment that it is told, and says whether it got it. What it
 * got it keeps until it is told to let go.
 */
import { lockWorkspace } from '../../server/store/lock.ts';

let unlock: (() => void) | null = null;

process.on('message', (message: { readonly folder: string; readonly atMs: number } | 'letGo') => {
  if (message === 'letGo') {
    unlock?.();
    unlock = null;
    process.send!('free');
    return;
  }
  // Spinning, so that all of them try in the same moment.
  while (Date.now() < message.atMs);
  try {
    unlock = lockWorkspace(message.folder);
    process.send!('won');
  } catch (error) {
    process.send!(String(error).includes('has the workspace') ? 'refused' : String(error));
  }
});
process.send!('ready');
