import { effect, signal } from '@preact/signals';
import type { SignalCheck } from '../../../server/engine/check/checkSignals.ts';
import { checkTake } from '../../state/engineClient.ts';
import { messageOf } from '../../state/notices.ts';
import { type OpenTake, openTake } from '../../state/openTake.ts';

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

/** Checks the open take on the second thread, and again when its calibration changes; stops when called. */
export function followOpenTake(): () => void {
  return effect(() => {
    const take = openTake.value;
    if (take) void run(take);
  });
}

async function run(take: OpenTake): Promise<void> {
  const { id: takeId, calibration, report } = take.document;
  const now = checkStatus.peek();
  if (now.kind === 'done' && now.takeId === takeId && now.calibration === calibration) return;
  // What is shown stays until the new one is there, unless it is another take's.
  if (now.kind !== 'done' || now.takeId !== takeId) checkStatus.value = { kind: 'working', takeId };
  try {
    const result = await checkTake({ kind: 'check', takeId, calibration, facts: report });
    if (isCurrent(take)) checkStatus.value = { kind: 'done', takeId, calibration, result };
  } catch (error) {
    if (isCurrent(take)) checkStatus.value = { kind: 'failed', takeId, message: messageOf(error) };
  }
}

function isCurrent({ document: { id, calibration } }: OpenTake): boolean {
  const open = openTake.peek()?.document;
  return open?.id === id && open.calibration === calibration;
}

export function checkAgain(): void {
  checkStatus.value = { kind: 'none' };
  const take = openTake.peek();
  if (take) void run(take);
}
