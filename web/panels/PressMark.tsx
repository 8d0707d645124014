import type { Fate } from '../state/fate.ts';

/** The mark of a fate, centred on the origin; shapes differ, not colours alone. 12 px across. */
export function PressMark({ fate }: { readonly fate: Fate }) {
  switch (fate) {
    case 'strayLetThrough':
      return <path class="mark mark-slip" d="M0 -6.5L6.6 5.5H-6.6z" />;
    case 'strayRefused':
      return <rect class="mark mark-refused" x="-5" y="-5" width="10" height="10" />;
    case 'wantedAccepted':
      return <circle class="mark mark-accepted" r="5.2" />;
    case 'wantedRefused':
      return (
        <g class="mark mark-denied">
          <circle r="5.4" />
          <path d="M-3.8 -3.8L3.8 3.8M3.8 -3.8L-3.8 3.8" />
        </g>
      );
    case 'unlabelledAccepted':
      return <circle class="mark mark-ring" r="3.6" />;
    case 'unlabelledRefused':
      return <rect class="mark mark-ring" x="-4" y="-4" width="8" height="8" />;
    case 'unknown':
      return <path class="mark mark-ring" d="M0 -6L6 0L0 6L-6 0z" />;
  }
}
