import { computed, effect, signal } from '@preact/signals';
import type { SignalCheck } from '../../../server/engine/check/checkSignals.ts';
import { checkTake, stopChecks } from '../../state/engineClient.ts';
import { carryFitness, noteFitness, noteUnchecked } from '../../state/fitness.ts';
import { messageOf } from '../../state/notices.ts';
import { type OpenTake, openTake } from '../../state/openTake.ts';
import { sight } from '../../state/store.ts';

export type CheckStatus =
  | { readonly kind: 'none' }
  | { readonly kind: 'working'; readonly takeId: string }
  | { readonly kind: 'failed'; readonly takeId: string; readonly message: string }
  | {
      readonly kind: 'done';
      readonly takeId: string;
      readonly calibration: OpenTake['document']['calibration'];
      readonly result: SignalCheck;
    };

/** The signal check of the open take. */
export const checkStatus = signal<CheckStatus>({ kind: 'none' });

/** The check, once it is that of the take which is open now. */
export function checkOf(take: OpenTake): SignalCheck | null {
  const status = checkStatus.value;
  return status.kind === 'done' && status.takeId === take.document.id ? status.result : null;
}

/** How far the check is that is under way, 0 to 1, once it takes longer than anybody would not notice. */
export const checkPart = signal<number | null>(null);
const UNNOTICED_MS = 1000;
let underWay: { readonly take: OpenTake; readonly sinceMs: number } | null = null;

/** A take just opened has the machine for itself this long, unless its check is what is looked at. */
const REST_MS = 500;

/** Keeps the check in step with the open take and its calibration. */
export function startSignalCheck(): void {
  let timer: ReturnType<typeof setTimeout> | undefined;
  const isLookedAt = computed(() => sight.view.value === 'signal' || sight.view.value === 'sweep');
  effect(() => {
    const take = openTake.value;
    const delay = isLookedAt.value ? 0 : REST_MS;
    clearTimeout(timer);
    if (take) {
      carryFitness(take.document);
      timer = setTimeout(() => void run(take), delay);
    }
  });
}

async function run(take: OpenTake): Promise<void> {
  const { id: takeId, calibration, report } = take.document;
  const now = checkStatus.peek();
  if (now.kind === 'done' && now.takeId === takeId && now.calibration === calibration) return;
  if (underWay && isSame(underWay.take, take)) return;
  // A long check that nobody waits for any longer must not hold up the next one.
  if (underWay && performance.now() - underWay.sinceMs > UNNOTICED_MS) stopChecks();
  const mine = { take, sinceMs: performance.now() };
  underWay = mine;
  checkPart.value = null;
  const tell = (part: number): void => {
    if (underWay === mine && performance.now() - mine.sinceMs > UNNOTICED_MS) checkPart.value = part;
  };
  // What is shown stays until the new one is there, unless it is another take's.
  if (now.kind !== 'done' || now.takeId !== takeId) checkStatus.value = { kind: 'working', takeId };
  try {
    const { result, unfit } = await checkTake({ kind: 'check', takeId, calibration, facts: report }, tell);
    noteFitness(take.document, unfit);
    if (isCurrent(take)) checkStatus.value = { kind: 'done', takeId, calibration, result };
  } catch (error) {
    if (!isCurrent(take)) return;
    noteUnchecked(take.document, messageOf(error));
    checkStatus.value = { kind: 'failed', takeId, message: messageOf(error) };
  } finally {
    if (underWay === mine) {
      underWay = null;
      checkPart.value = null;
    }
  }
}

function isCurrent(take: OpenTake): boolean {
  const open = openTake.peek();
  return open !== null && isSame(open, take);
}

function isSame({ document: a }: OpenTake, { document: b }: OpenTake): boolean {
  return a.id === b.id && a.calibration === b.calibration;
}

export function checkAgain(): void {
  checkStatus.value = { kind: 'none' };
  const take = openTake.peek();
  if (take) void run(take);
}
