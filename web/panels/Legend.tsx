import type { Fate } from './fate.ts';
import { type FiredKind, GESTURE_PATHS } from './GestureMarks.tsx';
import { PressMark } from './PressMark.tsx';

const ENTRIES: readonly [Fate, string][] = [
  ['strayLetThrough', 'stray through'],
  ['strayRefused', 'stray refused'],
  ['wantedAccepted', 'wanted accepted'],
  ['wantedRefused', 'wanted refused'],
  ['unlabelledAccepted', 'unlabelled'],
];

const GESTURES: readonly [FiredKind, string][] = [
  ['stab', 'stab'],
  ['impact', 'hit'],
  ['twist', 'twist'],
];

/** What the marks in the lanes mean. */
export function Legend() {
  return (
    <ul class="legend" aria-label="Marks">
      {ENTRIES.map(([fate, words]) => (
        <li key={fate}>
          <svg width="16" height="16" viewBox="-8 -8 16 16" aria-hidden="true">
            <PressMark fate={fate} />
          </svg>
          {words}
        </li>
      ))}
      <li>
        <svg width="16" height="16" viewBox="-8 -8 16 16" aria-hidden="true">
          <path class="lane-deflection" d="M0 -6V6" />
        </svg>
        deflection
      </li>
      <li>
        <svg width="16" height="16" viewBox="-8 -8 16 16" aria-hidden="true">
          <path class="lane-deflection" d="M-1.5 -6V6M1.5 -6V6" />
        </svg>
        twice
      </li>
      {GESTURES.map(([kind, words]) => (
        <li key={kind}>
          <svg width="14" height="16" viewBox="-7 -8 14 16" aria-hidden="true">
            <path class={`gesture gesture-${kind}`} d={GESTURE_PATHS[kind]} />
          </svg>
          {words}
        </li>
      ))}
      <li>
        <svg width="22" height="16" viewBox="-11 -8 22 16" aria-hidden="true">
          <path class="label-swing" d="M-10 5Q-5 -9 0 5Q5 -9 10 5" />
        </svg>
        swings
      </li>
      <li>
        <svg width="14" height="16" viewBox="-7 -8 14 16" aria-hidden="true">
          <path class="label-still" d="M-7 2h14v2h-14z" />
        </svg>
        still
      </li>
      <li>
        <svg width="14" height="16" viewBox="-7 -8 14 16" aria-hidden="true">
          <path class="label-gesture label-thrust" d="M-4 -4L4 0L-4 4zM-6 6H6" />
        </svg>
        labelled gesture
      </li>
      <li>
        <svg width="14" height="16" viewBox="-7 -8 14 16" aria-hidden="true">
          <path class="label-drill" d="M-6 -5H6V5H-6z" />
        </svg>
        drill
      </li>
    </ul>
  );
}
