import type { Press } from '../../server/engine/base/log.ts';
import type { TakeDocument } from '../../server/http/schemas.ts';

/** Presses of the button that the guard judges, in time order. */
export function pressesOf(document: Pick<TakeDocument, 'presses' | 'powerButton'>): readonly Press[] {
  return document.presses.filter((press) => press.button === document.powerButton);
}
