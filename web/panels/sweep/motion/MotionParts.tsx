import type { Decline as DeclineFacts } from '../../../../server/engine/choose/decline.ts';
import type { Agreement } from '../../../../server/engine/choose/motion/agreement.ts';
import { agreementTexts, restsText } from '../../../../server/engine/words/choose/agreement.ts';
import { patienceMs } from '../../../state/judging.ts';
import { DeclineText } from '../Decline.tsx';

/** What an answer by motion alone rests on. */
export function RestsOnMotion() {
  return (
    <p class="caution-line" data-rests="motion">
      {restsText(patienceMs.value)}
    </p>
  );
}

/** How the answer by motion gets on with the presses that there are. */
export function BesidePresses({ agreement }: { readonly agreement: Agreement | null }) {
  if (agreement === null)
    return (
      <p data-agreement="none">No press is labelled here: nothing tells how well presses would agree.</p>
    );
  return (
    <div class="agreement" data-agreement="some">
      <h3>Beside the presses</h3>
      {agreementTexts(agreement, patienceMs.value).map((text) => (
        <p key={text}>{text}</p>
      ))}
    </div>
  );
}

/** Why it is not the presses that choose, and what they would need. */
export function ByPresses({ decline }: { readonly decline: DeclineFacts }) {
  return (
    <section class="card sweep-note" aria-label="By presses" data-by-presses={decline.kind}>
      <header>
        <h2>Why not by presses</h2>
      </header>
      <DeclineText decline={decline} />
    </section>
  );
}
