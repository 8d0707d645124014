import { PATIENCE } from '../../../../server/engine/choose/motion/patience.ts';
import { type Judge, judge, patienceMs } from '../../../state/judging.ts';
import { NumberSet } from '../../calibration/NumberSet.tsx';

const TITLES: Readonly<Record<Judge, string>> = {
  presses: 'By the presses that are labelled wanted or stray',
  motion: 'By spins and stops alone: it needs no press',
};

/** By what the guard is judged, and how long after a stop a press is wanted. */
export function JudgeChoice({ by }: { readonly by: Judge }) {
  return (
    <span class="judge">
      <span class="choices" role="group" aria-label="Judged by">
        {(['presses', 'motion'] as const).map((one) => (
          <button
            key={one}
            type="button"
            class="small"
            aria-pressed={by === one}
            title={TITLES[one]}
            onClick={() => (judge.value = one)}
          >
            {one === 'presses' ? 'By presses' : 'By motion'}
          </button>
        ))}
      </span>
      {by === 'motion' && (
        <span class="patience" title="How long the performer is taken to wait after a stop before pressing">
          <span class="quiet">patience</span>
          <NumberSet
            name={`Patience after a stop, ${PATIENCE.unit}`}
            unit={PATIENCE.unit}
            min={PATIENCE.min}
            max={PATIENCE.max}
            value={patienceMs.value}
            onSet={(ms) => (patienceMs.value = ms)}
          />
        </span>
      )}
    </span>
  );
}
