import { computed, signal } from '@preact/signals';
import { FIRST_VIEW, type View } from '../../server/engine/replay/projection.ts';
import { openTake } from './openTake.ts';

/** The moment that the replay shows, of the take for which it was set. Who reads it hears of nothing else. */
const set = signal<{ readonly takeId: string; readonly us: number } | null>(null);

/** In microseconds of the open take; null where it was not set yet. */
export const playheadUs = computed(() => {
  const take = openTake.value;
  if (set.value === null || set.value.takeId !== take?.document.id) return null;
  return Math.min(take.durationUs, set.value.us);
});

export const isPlaying = signal(false);

export const PLAY_SPEEDS = [0.1, 0.25, 0.5, 1, 2] as const;
export const playSpeed = signal<number>(1);

/** From where the blade is looked at. */
export const bladeView = signal<View>(FIRST_VIEW);

/** Puts the playhead at a moment of the open take, within it. */
export function movePlayhead(us: number): void {
  const take = openTake.peek();
  if (take) setPlayhead(take.document.id, Math.min(take.durationUs, Math.max(0, us)));
}

/** Of a take that need not be open yet. */
export function setPlayhead(takeId: string, us: number): void {
  set.value = { takeId, us };
}
