import { effect } from '@preact/signals';
import { startDemo } from '../api.ts';
import { parsePlace } from './address.ts';
import { startFitness } from './fitness.ts';
import { judge, patienceMs } from './judging.ts';
import { keepAddress } from './keepAddress.ts';
import { refreshSettings } from './keptSettings.ts';
import { messageOf, notify } from './notices.ts';
import { startOpening } from './opening.ts';
import { loadTake } from './openTake.ts';
import { setPlayhead } from './playhead.ts';
import { startSaving } from './saving.ts';
import { chosenTakeId, dispatch, sight } from './store.ts';
import { sweptMap } from './takeInputs.ts';
import { type TakeScope, takeScope } from './takeScope.ts';
import { startTallies } from './tallies.ts';
import { VIEW_FACTS, type View } from './views.ts';
import { refreshWorkspace, workspace } from './workspace.ts';

/** Brings the page to life: workspace, candidates, the place that the address names, and what follows them. */
export async function startSession(): Promise<void> {
  const found = await refreshWorkspace();
  if (!found) return void setTimeout(() => void startSession(), 2000);
  const place = parsePlace(location.hash);
  dispatch({ type: 'candidatesLoaded', a: found.candidates.a, b: found.candidates.b });
  startSaving(found.candidates.revision);
  goToPlace(place);
  followAddress();
  startOpening();
  startFitness();
  startTallies();
  void refreshSettings();
  waitForDemo();
}

/** Opens a take; from a view of the whole workspace it goes to where takes are looked at. */
export function goToTake(takeId: string): void {
  if (isOfWorkspace(sight.view.peek())) dispatch({ type: 'viewChosen', view: 'tune' });
  if (chosenTakeId.peek() === takeId) return;
  dispatch({ type: 'takeOpened', takeId });
}

function goToPlace(place: ReturnType<typeof parsePlace>): void {
  dispatch({ type: 'secondShown', show: place.showB });
  dispatch({ type: 'slotChosen', slot: place.slot });
  dispatch({ type: 'viewChosen', view: place.view });
  const takes = workspace.peek()?.takes ?? [];
  sweptMap.value = place.sweptMap;
  judge.value = place.judge;
  patienceMs.value = place.patienceMs;
  takeScope.value = knownScope(
    place.takeScope,
    takes.map(({ id }) => id),
  );
  const isKnown = takes.some((take) => take.id === place.takeId);
  if (place.takeId !== null && !isKnown) notify('error', `This workspace holds no take “${place.takeId}”.`);
  const takeId = isKnown ? place.takeId : (takes[0]?.id ?? null);
  dispatch({
    type: 'takeOpened',
    takeId,
    ...(isKnown && !place.isWindowOpen ? { window: place.window } : {}),
    ...(isKnown ? { pressIndex: place.pressIndex } : {}),
  });
  if (isKnown && takeId !== null && place.momentUs !== null) setPlayhead(takeId, place.momentUs);
}

/** The takes that a link chooses, as far as they still exist; without any, the open one. */
function knownScope(scope: TakeScope, known: readonly string[]): TakeScope {
  if (scope.kind !== 'chosen' || scope.ids.size === 0) return scope;
  const ids = new Set(known.filter((id) => scope.ids.has(id)));
  return ids.size > 0 ? { kind: 'chosen', ids } : { kind: 'open' };
}

/** Loads whatever take the state names, unless the view is about all of them, and writes the state into the address. */
function followAddress(): void {
  let loaded: string | null = null;
  effect(() => {
    const takeId = chosenTakeId.value;
    const view = sight.view.value;
    if (takeId === loaded || isOfWorkspace(view)) return;
    loaded = takeId;
    if (takeId !== null) loadTake(takeId).catch((error) => notify('error', messageOf(error)));
  });
  keepAddress(goToPlace);
  effect(() => {
    document.title = titleOf(sight.view.value, chosenTakeId.value);
  });
}

/** The name of the tab, and of its entries in the browser's history. */
function titleOf(view: View, takeId: string | null): string {
  const take = isOfWorkspace(view) ? undefined : workspace.value?.takes.find(({ id }) => id === takeId);
  return [...(take ? [take.title] : []), VIEW_FACTS[view].name, 'Moulinet'].join(' · ');
}

/** Asks for the demonstration takes, and opens the first once it is there. */
export async function seeDemo(): Promise<void> {
  try {
    await startDemo();
    await refreshWorkspace();
    waitForDemo();
  } catch (error) {
    notify('error', messageOf(error));
  }
}

/** At the very first start the demo takes are still being read: look again until they are there. */
function waitForDemo(): void {
  if ((workspace.peek()?.demoJobId ?? null) === null) return;
  setTimeout(async () => {
    const found = await refreshWorkspace();
    if (found && chosenTakeId.peek() === null && found.takes[0]) goToTake(found.takes[0].id);
    waitForDemo();
  }, 400);
}

function isOfWorkspace(view: View): boolean {
  return VIEW_FACTS[view].looksAt === 'workspace';
}
