import type { GuardSettings } from '../detect/guard.ts';
import { LOOK_BACK_MS, type PressVerdict } from '../detect/presses.ts';
import type { Intent } from '../labels/labels.ts';
import { roundedBeside, shownSpeed } from './count.ts';

/**
 * Why the guard accepted a press or refused it.
 * @param intent  a stray press that is accepted is "let through".
 */
export function pressReason(verdict: PressVerdict, intent: Intent | null = null): string {
  const { settings, unknown, refusedBy, speedDps } = verdict;
  if (unknown === 'release') return 'unknown: the log does not say when it was let go';
  if (unknown === 'motion') return `unknown: no motion data ${at(verdict)}`;
  if (unknown === 'bounce')
    return `no press of its own: the button was up for less than ${settings.debounceMs} ms`;
  if (refusedBy === 'length')
    return `refused by its length: the button answers to ${settings.pressLength} presses alone`;
  const now = `${shownSpeed(speedDps!, settings.speedDps)} ${at(verdict)}`;
  switch (refusedBy) {
    case null:
      return `${intent === 'stray' ? 'let through' : 'accepted'}: ${now}, ${beforeText(verdict)}, ${holdText(settings)}`;
    case 'speed':
      return `refused by the speed: ${now}, not below ${settings.speedDps} °/s`;
    case 'release':
      return `refused by the release ratio: ${now}, not yet below ${releaseText(settings)}`;
    case 'hold':
      return `refused by the hold: ${now}, ${beforeText(verdict)}, ${verdict.holdLeftMs} ms of the hold of ${settings.holdMs} ms left`;
  }
}

function beforeText({ beforeMs, settings }: PressVerdict): string {
  if (beforeMs === null) return `not at ${settings.speedDps} °/s in the ${LOOK_BACK_MS / 1000} s before`;
  return `last above ${releaseText(settings)} ${roundedBeside(beforeMs, settings.holdMs)} ms before`;
}

function releaseText({ speedDps, releaseRatio }: GuardSettings): string {
  if (releaseRatio === 1) return `${speedDps} °/s`;
  return `${Number((releaseRatio * speedDps).toFixed(1))} °/s (${releaseRatio} of ${speedDps})`;
}

function holdText(settings: GuardSettings): string {
  return settings.holdMs === 0 ? 'no hold' : `hold ${settings.holdMs} ms`;
}

function at({ settings: { decideAt, pressLength, longFromMs }, heldMs }: PressVerdict): string {
  if (heldMs > 0) return `when it had been held for ${Math.round(heldMs)} ms`;
  if (decideAt === 'release' || pressLength === 'short') return 'at the release';
  return pressLength === 'long' ? `when it had been down for ${longFromMs} ms` : 'at the press';
}
