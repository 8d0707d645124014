import { effect, signal } from '@preact/signals';
import type { SmoothingCost } from '../../../server/engine/check/smoothingCost.ts';
import { benchTake } from '../../state/engineClient.ts';
import type { Slot } from '../../state/model.ts';
import { messageOf } from '../../state/notices.ts';
import { openTake } from '../../state/openTake.ts';
import { pageWork, sight } from '../../state/store.ts';

export interface BenchCosts {
  readonly takeId: string;
  readonly costs: Readonly<Partial<Record<Slot, SmoothingCost>>>;
}

/** What the smoothing of each candidate shown costs on the open take; null until it is known. */
export const benchCosts = signal<BenchCosts | null>(null);
export const benchError = signal<string | null>(null);

/** The work follows a drag once it rests. */
const REST_MS = 150;

/** Keeps the costs in step with the open take and the smoothings; stops when called. */
export function followSmoothings(): () => void {
  let timer: ReturnType<typeof setTimeout> | undefined;
  let last = '';
  const stop = effect(() => {
    const take = openTake.value;
    const work = pageWork.value;
    const showB = sight.showB.value;
    const slots: Slot[] = showB ? ['a', 'b'] : ['a'];
    if (!take) return;
    const { id: takeId, calibration } = take.document;
    const smoothings = slots.map((slot) => work.candidates[slot].smoothing);
    const key = JSON.stringify([takeId, calibration, smoothings]);
    if (key === last) return;
    last = key;
    clearTimeout(timer);
    timer = setTimeout(async () => {
      try {
        const costs = await benchTake({ kind: 'bench', takeId, calibration, smoothings });
        if (key !== last) return;
        benchError.value = null;
        benchCosts.value = { takeId, costs: Object.fromEntries(slots.map((slot, k) => [slot, costs[k]])) };
      } catch (error) {
        if (key === last) benchError.value = messageOf(error);
      }
    }, REST_MS);
  });
  return () => {
    stop();
    clearTimeout(timer);
  };
}
