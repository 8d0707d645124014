import {
  DETECTORS,
  GESTURE_DETECTOR_IDS,
  type GestureDetectorId,
  gestureDetector,
} from '../../../server/engine/detect/detectors.ts';
import type { DialScore } from '../../../server/engine/score/dialScore.ts';
import type { GestureScore } from '../../../server/engine/score/gestureScore.ts';
import { counted, percentRange, plural } from '../../../server/engine/words/count.ts';
import { proposals } from '../../state/labelWalk.ts';
import type { Verdicts } from '../../state/verdicts.ts';

const NAMES = GESTURE_DETECTOR_IDS.map((id) => DETECTORS[id].name);
const TITLE = [NAMES[0], ...NAMES.slice(1).map((name) => name.toLowerCase())].join(', ');

/** How stab, impact and twist did on the labelled thrusts, hits and twists, and the dial outside these. */
export function GestureScores({ a, b }: { readonly a: Verdicts; readonly b: Verdicts | null }) {
  return (
    <details class="score-fold gesture-scores">
      <summary>
        {TITLE} <span class="unit">{summaryText(a)}</span>
      </summary>
      <dl>
        {GESTURE_DETECTOR_IDS.map((id) => {
          const [ofA, ofB] = [a.gestureScores[id], b?.gestureScores[id] ?? null];
          const tone =
            ofA.hit.n === 0 ? undefined : ofA.missed.k + (ofA.falseFires ?? 0) > 0 ? 'bad' : 'good';
          return (
            <div class="score" key={id} data-score={id}>
              <dt>{gestureDetector(id).scored}</dt>
              <dd class={tone}>
                <span data-slot="a">{shortText(ofA)}</span>
                {ofB && (
                  <>
                    {' → '}
                    <span data-slot="b">{shortText(ofB)}</span>
                  </>
                )}
              </dd>
              <dd class="note">{noteOf(ofA, ofB, id)}</dd>
            </div>
          );
        })}
        <DialRow a={a.dialScore} b={b?.dialScore ?? null} />
      </dl>
    </details>
  );
}

function DialRow({ a, b }: { readonly a: DialScore; readonly b: DialScore | null }) {
  const shown = (n: number | null) => (n === null ? '–' : String(n));
  const wrong = a.outside ?? a.spinning;
  return (
    <div class="score" data-score="dial">
      <dt>Dial steps outside twists</dt>
      <dd class={wrong === null ? undefined : wrong > 0 ? 'bad' : 'good'}>
        <span data-slot="a">{shown(a.outside)}</span>
        {b && (
          <>
            {' → '}
            <span data-slot="b">{shown(b.outside)}</span>
          </>
        )}
      </dd>
      <dd class="note">{dialNote(a, b)}</dd>
    </div>
  );
}

function dialNote(a: DialScore, b: DialScore | null): string {
  const both = (of: (score: DialScore) => number | null) => `${of(a)}${b ? ` → ${of(b)}` : ''}`;
  const steps = `of ${both((score) => score.steps)} in all`;
  const spins =
    a.spinning === null ? 'no spin labelled' : `in labelled spins ${both((score) => score.spinning)}`;
  return a.outside === null ? `no twist labelled; ${spins}, ${steps}` : `${steps}; ${spins}`;
}

/** A summary for candidate A; kinds without labels are left out. */
function summaryText({ gestureScores }: Verdicts): string {
  const labelled = GESTURE_DETECTOR_IDS.filter((id) => gestureScores[id].hit.n > 0);
  if (labelled.length === 0) return 'none labelled';
  return labelled
    .map((id) => `${gestureDetector(id).names.several} ${shortText(gestureScores[id])}`)
    .join(' · ');
}

function shortText({ hit }: GestureScore): string {
  return hit.n === 0 ? '–' : `${hit.k} / ${hit.n}`;
}

function noteOf(a: GestureScore, b: GestureScore | null, id: GestureDetectorId): string {
  const { gesture, names } = gestureDetector(id);
  if (a.falseFires === null) {
    const fires =
      a.fires === 0
        ? `no ${names.fire} fires`
        : `${counted(a.fires, names.fire)}, right or false nobody has said`;
    const open = proposals.value?.gestures.filter((one) => one.kind === gesture).length ?? 0;
    const proposed = open > 0 ? ` (${open} proposed under Labels, not counted)` : '';
    return `no ${names.one} labelled${proposed}; ${fires}`;
  }
  const both = (of: (score: GestureScore) => number) => `${of(a)}${b ? ` → ${of(b)}` : ''}`;
  const parts = [`false ${both((score) => score.falseFires ?? 0)}`, `again ${both((score) => score.again)}`];
  if (a.hit.interval) parts.unshift(`about 95 %: ${percentRange(a.hit.interval)}`);
  if (a.delayMs) parts.push(delayText(a.delayMs.median));
  if (a.belowLevel > 0)
    parts.push(`${a.belowLevel} of the missed never ${plural(a.belowLevel, 'reaches', 'reach')} the level`);
  return parts.join('; ');
}

function delayText(ms: number): string {
  return `${Math.abs(ms).toFixed(0)} ms ${ms < 0 ? 'before' : 'after'} its start`;
}
