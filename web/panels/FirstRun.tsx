import type { ComponentChildren } from 'preact';
import { seeDemo } from '../state/session.ts';
import { dispatch } from '../state/store.ts';
import { pickFiles } from './pickFiles.ts';

/** What to do first, where the workspace holds no take: record, bring a log, or look at the demonstration. */
export function FirstRun() {
  return (
    <div class="empty first-run">
      <h2>Nothing recorded yet.</h2>
      <div class="first-steps">
        <Step
          title="Record"
          button="Record from the prop"
          onClick={() => dispatch({ type: 'viewChosen', view: 'live' })}
        >
          Plug it in, and see it as it is swung.
        </Step>
        <Step title="Or drop a log" button="Choose files" onClick={pickFiles}>
          CSV with acceleration, rotation rate and the power button, 100 Hz or more.
        </Step>
        <Step title="Or look first" button="See the demo" onClick={() => void seeDemo()}>
          Eight synthetic takes of a lantern parade’s blade corps.
        </Step>
      </div>
      <p>
        <button type="button" class="small" onClick={() => dispatch({ type: 'viewChosen', view: 'plan' })}>
          What to record
        </button>
      </p>
      <p class="quiet">Swing only in clear space, with eye protection where people are close.</p>
    </div>
  );
}

function Step(props: {
  readonly title: string;
  readonly button: string;
  onClick(): void;
  readonly children: ComponentChildren;
}) {
  return (
    <section class="card first-step" aria-label={props.title}>
      <h3>{props.title}</h3>
      <p>{props.children}</p>
      <button type="button" class="main" onClick={props.onClick}>
        {props.button}
      </button>
    </section>
  );
}
