import type { CheckState } from '../../../server/engine/check/line.ts';

export const STATE_WORDS: Readonly<Record<CheckState, string>> = {
  pass: 'pass',
  caution: 'caution',
  fail: 'fail',
};

/** Circle with a tick, triangle, square with a cross: told apart by shape. */
export function StateMark({ state, size = 18 }: { readonly state: CheckState; readonly size?: number }) {
  return (
    <svg class={`state-mark is-${state}`} width={size} height={size} viewBox="-9 -9 18 18" aria-hidden="true">
      <Shape state={state} />
    </svg>
  );
}

function Shape({ state }: { readonly state: CheckState }) {
  switch (state) {
    case 'pass':
      return (
        <>
          <circle class="state-ground" r="7.6" />
          <path class="state-sign" d="M-3.6 .2L-1 3L3.8 -2.8" />
        </>
      );
    case 'caution':
      return (
        <>
          <path class="state-ground" d="M0 -7.6L8.4 7H-8.4z" />
          <path class="state-sign" d="M0 -2.8V2M0 4.2V4.8" />
        </>
      );
    case 'fail':
      return (
        <>
          <rect class="state-ground" x="-7.4" y="-7.4" width="14.8" height="14.8" rx="2" />
          <path class="state-sign" d="M-3.4 -3.4L3.4 3.4M3.4 -3.4L-3.4 3.4" />
        </>
      );
  }
}
