import { signal } from '@preact/signals';
import { DEFAULT_CALIBRATION } from '../../server/engine/calibrate/calibration.ts';
import type { TakeStock } from '../../server/engine/plan/takeStock.ts';
import type { LiveNewsBody } from '../../server/http/schemas.ts';
import type { RecordedRows } from '../live/recordedRows.ts';
import { desk } from '../takes/desk.ts';
import type { Request } from '../takes/requests.ts';

/** What of each drill the recording that goes on holds so far, as the plan counts a take without labels; null for none. */
export const liveStock = signal<TakeStock | null>(null);

const EVERY_MS = 2000;
/** A count that takes long is made less often. */
const REST_OF_WORK = 4;
/** Fewer tell nothing. */
const LEAST_S = 1;

/** A signal of its own for each request: whatever hears one keeps its request, and with it a copy of the recording. */
async function askOnce(request: Request<'stock'>, stopped: AbortSignal): Promise<TakeStock | null> {
  const once = new AbortController();
  const end = (): void => once.abort();
  stopped.addEventListener('abort', end);
  try {
    return await desk.ask(request, { urgency: 'view', signal: once.signal });
  } catch {
    // Stopped; or what came so far is no motion yet.
    return null;
  } finally {
    stopped.removeEventListener('abort', end);
  }
}

/** Counts a recording again and again, in a thread. @returns a function that stops it */
export function countRecording(
  rows: RecordedRows,
  { rateHz, mount }: NonNullable<LiveNewsBody['reading']>,
): () => void {
  const stop = new AbortController();
  const { signal: stopped } = stop;
  void (async () => {
    let counted = LEAST_S * rateHz;
    for (let waitMs = EVERY_MS; !stopped.aborted; ) {
      await new Promise((resolve) => setTimeout(resolve, waitMs));
      if (stopped.aborted || rows.count <= counted) continue;
      counted = rows.count;
      const startMs = performance.now();
      const request = {
        kind: 'stock',
        log: rows.log(),
        calibration: { ...DEFAULT_CALIBRATION, mount },
      } as const;
      const stock = await askOnce(request, stopped);
      if (!stopped.aborted && stock) liveStock.value = stock;
      waitMs = Math.max(EVERY_MS, REST_OF_WORK * (performance.now() - startMs));
    }
  })();
  return () => {
    stop.abort();
    liveStock.value = null;
  };
}
