import { signal } from '@preact/signals';
import type { TakeDocument, TakeOverview } from '../../server/http/schemas.ts';
import { fetchOverview } from '../api.ts';
import { candidates, chosenTakeId } from './store.ts';

/** From here on reading a take lasts so long that it is shown from afar meanwhile. */
const LONG_SAMPLES = 300_000;

export interface SeenFromAfar extends TakeOverview {
  readonly takeId: string;
  readonly bladeLengthM: number;
}

/** The take that is being read, from afar; null where it is short, or nothing is known of it yet. */
export const fromAfar = signal<SeenFromAfar | null>(null);

/** Asks for what a long take looks like. It is shown only where it goes by the same calibration and smoothing. */
export async function lookFromAfar({ id, report, calibration }: TakeDocument): Promise<void> {
  fromAfar.value = null;
  if (report.durationS * report.rateHz < LONG_SAMPLES) return;
  // Without it the take is waited for as any other.
  const overview = await fetchOverview(id).catch(() => null);
  if (overview === null || chosenTakeId.peek() !== id) return;
  const isSame = (a: object, b: object) => JSON.stringify(a) === JSON.stringify(b);
  if (!isSame(overview.calibration, calibration)) return;
  if (!isSame(overview.smoothing, candidates.a.peek().smoothing)) return;
  fromAfar.value = { ...overview, takeId: id, bladeLengthM: calibration.bladeLengthM };
}
