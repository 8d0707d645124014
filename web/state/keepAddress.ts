import { computed, effect } from '@preact/signals';
import { formatPlace, type Place, parsePlace } from './address.ts';
import { judge, patienceMs } from './judging.ts';
import { playheadUs } from './playhead.ts';
import { chosenTakeId, sight } from './store.ts';
import { sweptMap } from './takeInputs.ts';
import { takeScope } from './takeScope.ts';

/**
 * Time for which a place must stay the same before the address follows it: a browser allows only so many changes a
 * second.
 */
const REST_MS = 150;

const here = computed<Place>(() => ({
  view: sight.view.value,
  takeId: chosenTakeId.value,
  window: sight.window.value,
  isWindowOpen: sight.isWindowOpen.value,
  slot: sight.slot.value,
  showB: sight.showB.value,
  pressIndex: sight.pressIndex.value,
  momentUs: playheadUs.value,
  sweptMap: sweptMap.value,
  takeScope: takeScope.value,
  judge: judge.value,
  patienceMs: patienceMs.value,
}));

/**
 * Writes the state into the address, and goes where the address is changed to. Another view or another take is a step
 * of the browser's history; a move within one is not.
 */
export function keepAddress(goTo: (place: Place) => void): void {
  /** The place that the browser's present entry shows, and the last place there. */
  let entry = pageOf(here.peek());
  let place = hashOf(here.peek());
  /** The address as it was last written or followed. */
  let known = location.hash;
  let timer: ReturnType<typeof setTimeout> | undefined;
  const write = (): void => {
    // Somebody changed it, and the event that says so is still to come: it is not to be written over.
    if (location.hash !== known) return;
    const [page, hash] = [pageOf(here.peek()), hashOf(here.peek())];
    // Where no take was open yet, there is nothing to come back to.
    const isStep = page !== entry && !entry.endsWith(' ');
    if (isStep && location.hash !== place) history.replaceState(null, '', place);
    if (isStep) history.pushState(null, '', hash);
    else if (location.hash !== hash) history.replaceState(null, '', hash);
    entry = page;
    place = hash;
    known = location.hash;
  };
  const writeAfter = (ms: number): void => {
    clearTimeout(timer);
    timer = setTimeout(write, ms);
  };
  effect(() => {
    if (pageOf(here.value) === entry) {
      place = hashOf(here.value);
      writeAfter(REST_MS);
    } else {
      // Not at once: a command may be several actions, such as a take and a view, and is one step.
      writeAfter(0);
    }
  });
  addEventListener('hashchange', () => {
    known = location.hash;
    if (hashOf(here.peek()) === location.hash) return;
    goTo(parsePlace(location.hash));
    // The browser has made the step already.
    entry = pageOf(here.peek());
    place = hashOf(here.peek());
    writeAfter(0);
  });
}

function pageOf({ view, takeId }: Pick<Place, 'view' | 'takeId'>): string {
  return `${view} ${takeId ?? ''}`;
}

function hashOf(place: Place): string {
  return `#${formatPlace(place)}`;
}
