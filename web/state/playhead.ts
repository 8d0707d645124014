import { computed, signal } from '@preact/signals';
import { FIRST_VIEW, type View } from '../../server/engine/replay/projection.ts';
import { openTake } from './openTake.ts';

/** The moment that the replay shows, of the take for which it was set. Who reads it hears of nothing else. */
const set = signal<{ readonly takeId: string; readonly us: number } | null>(null);

/** In microseconds of the open take; null where it was not set yet. */
export const playheadUs = computed(() => {
  const id = openTake.value?.document.id;
  return set.value !== null && set.value.takeId === id ? set.value.us : null;
});

export const isPlaying = signal(false);

export const PLAY_SPEEDS = [0.1, 0.25, 0.5, 1, 2] as const;
export const playSpeed = signal<number>(1);

/** From where the blade is looked at. */
export const bladeView = signal<View>(FIRST_VIEW);

/** Puts the playhead at a moment, within the take. */
export function movePlayhead(us: number): void {
  const take = openTake.peek();
  if (take) set.value = { takeId: take.document.id, us: Math.min(take.durationUs, Math.max(0, us)) };
}
