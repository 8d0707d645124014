import type { PressVerdict } from '../../server/engine/detect/presses.ts';
import type { Intent } from '../../server/engine/labels/labels.ts';

/** The outcome of a press, as the marks show it. */
export type Fate =
  | 'strayLetThrough'
  | 'strayRefused'
  | 'wantedAccepted'
  | 'wantedRefused'
  | 'unlabelledAccepted'
  | 'unlabelledRefused'
  | 'unknown';

export const FATE_WORDS: Readonly<Record<Fate, string>> = {
  strayLetThrough: 'Stray press let through',
  strayRefused: 'Stray press refused',
  wantedAccepted: 'Wanted press accepted',
  wantedRefused: 'Wanted press refused',
  unlabelledAccepted: 'Unlabelled press accepted',
  unlabelledRefused: 'Unlabelled press refused',
  unknown: 'Press that could not be judged',
};

export function fateOf({ accepted }: Pick<PressVerdict, 'accepted'>, intent: Intent | null): Fate {
  if (accepted === null) return 'unknown';
  if (intent === 'stray') return accepted ? 'strayLetThrough' : 'strayRefused';
  if (intent === 'wanted') return accepted ? 'wantedAccepted' : 'wantedRefused';
  return accepted ? 'unlabelledAccepted' : 'unlabelledRefused';
}
