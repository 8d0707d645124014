import type { Decline as DeclineFact } from '../../../server/engine/choose/decline.ts';

/** Why there is no suggestion, and what to do about it. */
export function Decline({ decline }: { readonly decline: DeclineFact }) {
  return (
    <div class="decline" data-decline={decline.kind}>
      <p class="headline">No suggestion</p>
      <p>{decline.text}</p>
      <ul class="borders">
        {decline.advice.map((text) => (
          <li key={text}>{text}</li>
        ))}
      </ul>
    </div>
  );
}
