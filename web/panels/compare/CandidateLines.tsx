import type { Candidate } from '../../../server/engine/settings/candidate.ts';
import { smoothingWords } from '../SmoothingFields.tsx';

/** Both candidates in a line each: what of them guard and deflection rest on. */
export function CandidateLines({ a, b }: { readonly a: Candidate; readonly b: Candidate }) {
  const isSame = JSON.stringify(a) === JSON.stringify(b);
  return (
    <dl class="candidate-lines">
      <dt>A</dt>
      <dd>{candidateLine(a)}</dd>
      <dt class="is-b">B</dt>
      <dd>{isSame ? 'the same as A: change one of them in Tune' : candidateLine(b)}</dd>
    </dl>
  );
}

/** What guard and deflection of a candidate rest on. */
export function candidateLine({ guard, deflection, smoothing }: Candidate): string {
  const release = guard.releaseRatio === 1 ? '' : `, opens below ${guard.releaseRatio} of it`;
  const smoothed = smoothing.kind === 'none' ? 'no smoothing' : `smoothed: ${smoothingWords(smoothing)}`;
  const held = deflection.switchedOn === 'held' ? ', with its button held' : '';
  return `guard ${guard.speedDps} °/s, hold ${guard.holdMs} ms${release} · deflection ${deflection.speedDps} °/s, arms again below ${deflection.rearmRatio}${held} · ${smoothed}`;
}
