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

/** What is stored comes sooner; what has yet to be made holds nothing up for longer. */
const AT_MOST_MS = 250;

/**
 * Asks for what a long take looks like, and waits until it is painted, or for a quarter of a second: what reads the take
 * itself would only be in its way.
 */
export async function lookFromAfar(document: TakeDocument): Promise<void> {
  fromAfar.value = null;
  if (document.report.durationS * document.report.rateHz < LONG_SAMPLES) return;
  const enough = new Promise<void>((done) => setTimeout(done, AT_MOST_MS));
  await Promise.race([look(document).then(nextPaint), enough]);
}

/** Two frames on: the first one paints. */
function nextPaint(): Promise<void> {
  return new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done())));
}

/** It is shown only where it goes by the same calibration and smoothing. */
async function look({ id, calibration }: TakeDocument): Promise<void> {
  // Without it the take is waited for as any other.
  const overview = await fetchOverview(id).catch(() => null);
  if (overview === null || chosenTakeId.peek() !== id) return;
  const isSame = (a: object, b: object) => JSON.stringify(a) === JSON.stringify(b);
  if (!isSame(overview.calibration, calibration)) return;
  if (!isSame(overview.smoothing, candidates.a.peek().smoothing)) return;
  fromAfar.value = { ...overview, takeId: id, bladeLengthM: calibration.bladeLengthM };
}
