import type { Suggestion } from '../../../server/engine/choose/suggest.ts';
import { Figure } from './Figure.tsx';

/** What a guard comes to besides what it was chosen by: reversals, and shares of time that need no label. */
export function OutcomeFigures({ suggestion }: { readonly suggestion: Suggestion }) {
  return (
    <>
      <Figure
        name="Reversals open"
        value={
          suggestion.reversals === 0
            ? 'none to judge by'
            : `${suggestion.reversalsOpen} / ${suggestion.reversals}`
        }
      />
      {suggestion.openShare !== null && (
        <Figure name="Open while spinning" value={`${(suggestion.openShare * 100).toFixed(1)} %`} />
      )}
      {suggestion.quietClosedShare !== null && (
        <Figure name="Closed while quiet" value={`${(suggestion.quietClosedShare * 100).toFixed(1)} %`} />
      )}
      {suggestion.waitMedianMs !== null && (
        <Figure name="Wait after a stop" value={`${suggestion.waitMedianMs.toFixed(0)} ms`} />
      )}
    </>
  );
}
