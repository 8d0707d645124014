import type { Wrong } from '../../choose/checkTake.ts';
import type { GestureMapKind } from '../../choose/gestures/maps.ts';
import type { MissCause } from '../../choose/gestures/missCauses.ts';
import type { GuardPart } from '../../choose/takeSweep.ts';
import type { PressVerdict } from '../../detect/presses.ts';
import type { MissReason } from '../../explain/missedSwings.ts';
import type { DeflectionPart } from '../../sweep/deflectionSweep.ts';
import type { GesturePart } from '../../sweep/gestureSweep.ts';
import { missText } from '../misses.ts';
import { pressReason } from '../presses.ts';
import { missCauseText } from './missCauses.ts';
import { GESTURE_NAMES } from './problems.ts';
import { seconds } from './suggestion.ts';

/** What goes wrong at a suggestion itself, and why, as it goes on from "Wrong even so:". */
export function wrongPress({ part, atUs, title, why }: Wrong<GuardPart, PressVerdict>): string {
  const intent = part === 'strays' ? 'stray' : 'wanted';
  return `the ${intent} press at ${seconds(atUs)} of ${title}${why ? `, ${pressReason(why, intent)}` : ''}. Check its label.`;
}

export function wrongUnit({ part, atUs, title }: Wrong<GuardPart>): string {
  return `the ${part === 'strays' ? 'spin that begins' : 'stop'} at ${seconds(atUs)} of ${title}.`;
}

export function wrongSwing({ part, atUs, title, why }: Wrong<DeflectionPart, MissReason>): string {
  const when = `${seconds(atUs)} of ${title}`;
  switch (part) {
    case 'missed':
      return `the swing at ${when} is missed${why ? `, ${missText(why)}` : ''}.`;
    case 'twice':
      return `the swing at ${when} fires twice or more.`;
    case 'outside':
      return `a fire at ${when} lies outside any swing.`;
  }
}

export function wrongGesture(
  kind: GestureMapKind,
  { part, atUs, title, why }: Wrong<GesturePart, MissCause>,
): string {
  const { one, fire } = GESTURE_NAMES[kind];
  const when = `${seconds(atUs)} of ${title}`;
  switch (part) {
    case 'missed':
      return `the ${one} at ${when} is missed${why ? `: ${missCauseText(kind, why)}` : ''}.`;
    case 'again':
      return `the ${fire} at ${when} is a second one for the same ${one}.`;
    case 'outside':
      return `the ${fire} at ${when} lies outside any ${one}.`;
  }
}
