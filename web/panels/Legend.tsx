import type { Fate } from './fate.ts';
import { PressMark } from './PressMark.tsx';

const ENTRIES: readonly [Fate, string][] = [
  ['strayLetThrough', 'stray through'],
  ['strayRefused', 'stray refused'],
  ['wantedAccepted', 'wanted accepted'],
  ['wantedRefused', 'wanted refused'],
  ['unlabelledAccepted', 'unlabelled'],
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
    </ul>
  );
}
