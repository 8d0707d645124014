import type { ComponentChildren } from 'preact';
import type { Decline as DeclineFact } from '../../../server/engine/choose/decline.ts';
import { Decline } from './Decline.tsx';

/** The card of a suggestion: why there is none, or what is said of it; null while it is still to come. */
export function SuggestionFrame(props: {
  readonly title?: string;
  readonly decline: DeclineFact | null;
  readonly children: ComponentChildren;
}) {
  return (
    <section class="card suggestion" aria-label="Suggestion">
      <header>
        <h2>{props.title ?? 'Suggestion'}</h2>
      </header>
      {props.decline ? (
        <Decline decline={props.decline} />
      ) : (
        (props.children ?? <p class="quiet">Comes once all takes are swept and their signals checked.</p>)
      )}
    </section>
  );
}
