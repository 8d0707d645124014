import { batch } from '@preact/signals';
import type { MotionEvidence } from '../../../../server/engine/choose/motion/motionProblem.ts';
import { counted } from '../../../../server/engine/words/count.ts';
import { areLabelsShown } from '../../../state/labelWalk.ts';
import { goToTake } from '../../../state/session.ts';
import { dispatch } from '../../../state/store.ts';

/** The takes in which spins or stops wait to be confirmed, each a click away from where that is done. */
export function ConfirmInTune({ evidence }: { readonly evidence: readonly MotionEvidence[] }) {
  const waiting = evidence.filter(
    ({ unfit, waitingSpins, waitingStops }) => unfit === null && waitingSpins + waitingStops > 0,
  );
  if (waiting.length === 0) return null;
  // Once there is a take with confirmed ones, only those are on the map.
  const areShown = !evidence.some(({ unfit, isConfirmed }) => unfit === null && isConfirmed);
  return (
    <section class="card sweep-note" aria-label="To confirm">
      <header>
        <h2>To confirm</h2>
        <span class="unit">
          {areShown
            ? 'the map shows them as proposed; nothing is suggested until they are confirmed'
            : 'proposed by the program; only confirmed ones are counted'}
        </span>
      </header>
      <ul class="to-confirm">
        {waiting.map(({ id, title, waitingSpins, waitingStops }) => (
          <li key={id}>
            <span>
              {title}: {counted(waitingSpins, 'spin')}, {counted(waitingStops, 'stop')}
            </span>
            <button type="button" class="small" onClick={() => lookInTune(id)}>
              Look at them in Tune
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}

function lookInTune(takeId: string): void {
  batch(() => {
    dispatch({ type: 'viewChosen', view: 'tune' });
    goToTake(takeId);
    areLabelsShown.value = true;
  });
}
