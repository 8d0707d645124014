import { batch } from '@preact/signals';
import { plural } from '../../server/engine/words/count.ts';
import { deleteTake, restoreTake } from '../api.ts';
import { messageOf, notify } from './notices.ts';
import { forgetTake } from './openTake.ts';
import { saveAtOnce } from './saving.ts';
import { chosenTakeId, dispatch } from './store.ts';
import { leaveOutTakes, refreshWorkspace, workspace } from './workspace.ts';

/** Moves takes to the workspace's trash, and offers to bring them back. @param what  names them in the notice. */
export async function removeTakes(ids: readonly string[], what: string): Promise<void> {
  const removed: string[] = [];
  try {
    await saveAtOnce();
    for (const id of ids) {
      await deleteTake(id);
      removed.push(id);
    }
  } catch (error) {
    notify('error', messageOf(error));
  }
  if (removed.length === 0) return;
  batch(() => {
    leaveOutTakes(removed);
    for (const id of removed) forgetTake(id);
  });
  await refreshWorkspace();
  showWhatIsThere();
  const files = `${plural(removed.length, 'Its', 'Their')} files lie in the workspace’s trash.`;
  notify('fact', `Removed ${what}. ${files}`, { label: 'Restore', run: () => void restoreTakes(removed) });
}

export async function restoreTakes(ids: readonly string[]): Promise<void> {
  try {
    for (const id of ids) await restoreTake(id);
  } catch (error) {
    notify('error', messageOf(error));
  }
  await refreshWorkspace();
  const back = ids.find((id) => workspace.peek()?.takes.some((take) => take.id === id));
  if (back !== undefined) dispatch({ type: 'takeOpened', takeId: back });
}

/** Opens the first take that is left where the open one is gone; none where none is left. */
function showWhatIsThere(): void {
  const takes = workspace.peek()?.takes ?? [];
  if (takes.some((take) => take.id === chosenTakeId.peek())) return;
  dispatch({ type: 'takeOpened', takeId: takes[0]?.id ?? null });
}
