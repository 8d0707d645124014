import type { Decline as DeclineFacts } from '../../../server/engine/choose/decline.ts';
import { declineWords } from '../../../server/engine/words/choose/declines.ts';

/** Why there is no suggestion, and what to do about it. */
export function Decline({ decline }: { readonly decline: DeclineFacts }) {
  return (
    <div class="decline" data-decline={decline.kind}>
      <p class="headline">No suggestion</p>
      <DeclineText decline={decline} />
    </div>
  );
}

export function DeclineText({ decline }: { readonly decline: DeclineFacts }) {
  const { text, advice } = declineWords(decline);
  return (
    <>
      <p>{text}</p>
      <ul class="borders">
        {advice.map((one) => (
          <li key={one}>{one}</li>
        ))}
      </ul>
    </>
  );
}
