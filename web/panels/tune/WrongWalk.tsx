import { pressesInSight } from '../../state/judgedMarks.ts';
import type { TimeWindow } from '../../state/model.ts';
import { openLabels } from '../../state/openTake.ts';
import { sight } from '../../state/store.ts';
import type { Verdicts } from '../../state/verdicts.ts';
import { stepWrong, wrongPresses } from '../../state/wrongPresses.ts';

/** The way to every wrong press of the take, in or out of sight, and which of them is told of. */
export function WrongWalk({ verdict, window }: { readonly verdict: Verdicts; readonly window: TimeWindow }) {
  const wrong = wrongPresses.value;
  if (wrong.length === 0) return null;
  const said = pressesInSight(verdict.presses, openLabels.value, window).said(sight.pressIndex.value);
  const at = said === null ? -1 : wrong.indexOf(said.verdict.pressIndex);
  return (
    <span class="wrong-walk" role="group" aria-label="Wrong presses of this take">
      <button
        type="button"
        class="small"
        title="Previous wrong press ([)"
        aria-label="Previous wrong press"
        onClick={() => stepWrong(-1)}
      >
        ‹
      </button>
      <output>{at === -1 ? `${wrong.length} wrong` : `${at + 1} of ${wrong.length} wrong`}</output>
      <button
        type="button"
        class="small"
        title="Next wrong press (])"
        aria-label="Next wrong press"
        onClick={() => stepWrong(1)}
      >
        ›
      </button>
    </span>
  );
}
