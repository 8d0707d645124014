import type { DeflectionSettings } from '../detect/deflection.ts';
import type { MissCause, MissFix, MissReason } from '../explain/missedSwings.ts';
import { fixed, moment } from './count.ts';

/** Why no deflection belongs to a swing, for the performer. */
export function missText(reason: MissReason): string {
  switch (reason.cause) {
    case 'neighbour':
      return `the deflection at ${moment(reason.fireUs)} belongs to the swing beside it`;
    case 'gap':
      return 'a gap in the log: part of its rates is missing';
    case 'smoothed':
      return `smoothed too much: its peak of ${fixed(reason.truePeakDps, 0)} °/s reads as ${fixed(reason.fastestDps, 0)}, a deflection takes ${reason.needDps} °/s`;
    case 'tooSlow':
      return `too slow: it reaches ${fixed(reason.fastestDps, 0)} °/s, a deflection takes ${reason.needDps} °/s`;
    case 'notHeld':
      return `its button was up while it was fast enough: with the button held it reaches ${fixed(reason.fastestHeldDps, 0)} °/s, a deflection takes ${reason.needDps} °/s`;
    case 'resting':
      return `within the rest: it comes ${fixed(reason.sinceMs, 0)} ms after the deflection before, the rest is ${reason.restMs} ms`;
    case 'notArmed':
      return `not armed again: since ${moment(reason.sinceUs)} the speed fell to ${fixed(reason.lowestDps, 0)} °/s at the least, arming takes less than ${Number(reason.armDps.toFixed(1))} °/s`;
    case 'tooShort':
      return `too short: it stays at ${reason.speedDps} °/s or more for ${fixed(reason.forMs, 0)} ms, a deflection takes ${reason.needMs} ms`;
  }
}

const CAUSES: Readonly<Record<MissCause, string>> = {
  neighbour: 'beside one that fired in their place',
  gap: 'in a gap',
  smoothed: 'smoothed too much',
  tooSlow: 'too slow',
  notHeld: 'fast enough only with the button up',
  resting: 'within the rest',
  notArmed: 'not armed again',
  tooShort: 'too short',
};

/** Numbers of missed swings by cause, the commonest first: `30 not armed again, 4 too slow`. */
export function missCountsText(reasons: readonly Pick<MissReason, 'cause'>[]): string {
  const counts = new Map<MissCause, number>();
  for (const { cause } of reasons) counts.set(cause, (counts.get(cause) ?? 0) + 1);
  return [...counts]
    .sort((a, b) => b[1] - a[1])
    .map(([cause, count]) => `${count} ${CAUSES[cause]}`)
    .join(', ');
}

/** The change of one setting that would make a deflection fire, beside what is set. */
export function missFixText({ setting, value }: MissFix, settings: DeflectionSettings): string {
  const now = `(now ${settings[setting]})`;
  switch (setting) {
    case 'speedDps':
      return `a speed of ${value} °/s ${now}`;
    case 'rearmRatio':
      return `re-arming below a part of ${value} ${now}`;
    case 'restMs':
      return `a rest of ${value} ms ${now}`;
    case 'confirmMs':
      return `a confirmation of ${value} ms ${now}`;
  }
}
