import type { GuardSettings } from '../detect/guard.ts';
import type { SlipReason, Turn } from '../explain/causes.ts';
import type { Fix } from '../explain/fixes.ts';
import { fixed } from './count.ts';

/** Why a press was let through, for the performer. */
export function slipText(reason: SlipReason): string {
  switch (reason.cause) {
    case 'gap':
      return `a gap in the log: the last swing was ${ms(reason.swingBeforeMs)} before, within the hold, but a guard starts anew after a gap`;
    case 'clipping':
      return `a clipped sensor: it shows no more than ${dps(reason.mostDps)} here, and the guard's speed is ${reason.guardDps} °/s`;
    case 'decidedAtRelease':
      return `judged when let go: the guard was closed when the button went down, ${ms(reason.afterPressMs)} before`;
    case 'smoothingDelay':
      return `the smoothing lags: the blade was at ${dps(reason.trueDps)} already, the smoothed speed still at ${dps(reason.smoothedDps)}`;
    case 'beforeFirstClosing':
      return `before the guard first closed in this spin: the speed reached ${reason.guardDps} °/s ${ms(reason.closesAfterMs)} later`;
    case 'reversalDip':
    case 'slowPart': {
      const speed = dps(reason.speedDps);
      if (reason.turn === null) return `the spin was down to ${speed} here`;
      const { turnDeg } = reason.turn;
      const place = reason.cause === 'reversalDip' ? 'the blade turned back' : 'the spin slowed down';
      return `${place} here (turn ${fixed(turnDeg, 0)}°) and was at ${speed}${dipText(reason.turn)}`;
    }
    case 'notSpinning':
      return `it came outside any spin, with the blade at ${dps(reason.speedDps)}`;
  }
}

function dipText({ dipMs, guard }: Turn): string {
  if (dipMs === null) return '';
  return `; it stays below ${guard.speedDps} °/s for ${ms(dipMs)}, and the hold is ${guard.holdMs} ms`;
}

/** The change of one setting that would have refused a press, beside what is set. */
export function fixText({ path, value }: Fix, guard: GuardSettings): string {
  switch (path) {
    case 'guard.holdMs':
      return `a hold of ${value} ms (now ${guard.holdMs} ms)`;
    case 'guard.speedDps':
      return `a speed of ${value} °/s (now ${guard.speedDps} °/s)`;
    case 'guard.releaseRatio':
      return `a release ratio of ${value} (now ${guard.releaseRatio})`;
    case 'guard.decideAt':
      return `judged when the button ${value === 'press' ? 'goes down' : 'is let go'}`;
  }
}

/** The same setting alone. */
export function settingText({ path, value }: Fix): string {
  switch (path) {
    case 'guard.holdMs':
      return `hold ${value} ms`;
    case 'guard.speedDps':
      return `speed ${value} °/s`;
    case 'guard.releaseRatio':
      return `opening below ${value} of its speed`;
    case 'guard.decideAt':
      return `the button acting when it ${value === 'press' ? 'goes down' : 'is let go'}`;
  }
}

function dps(value: number): string {
  return `${fixed(value, 0)} °/s`;
}

function ms(value: number): string {
  return `${fixed(value, 0)} ms`;
}
