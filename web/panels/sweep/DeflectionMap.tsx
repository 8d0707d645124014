import { useState } from 'preact/hooks';
import type { DeflectionSuggestion } from '../../../server/engine/choose/deflectionChoice.ts';
import type { DeflectionSweep } from '../../../server/engine/sweep/deflectionSweep.ts';
import { editedCandidate, sight } from '../../state/store.ts';
import { CandidateMarks, DEFLECTION_PATHS } from './candidateMarks.tsx';
import { DEFLECTION_LAYERS } from './layers.ts';
import { MapCard } from './MapCard.tsx';
import { nearest } from './nearest.ts';

/** The deflection's map over speed and re-arm. */
export function DeflectionMap({
  grid,
  suggestion,
}: {
  readonly grid: DeflectionSweep;
  readonly suggestion: DeflectionSuggestion | null;
}) {
  const [cell, setCell] = useState<number | null>(null);
  const slot = sight.slot.value;
  const { speedDps, rearmRatio } = editedCandidate.value.deflection;
  const ratios = grid.rearmRatios.length;
  const own = nearest(grid.speedsDps, speedDps) * ratios + nearest(grid.rearmRatios, rearmRatio);
  const shown = cell ?? own;
  return (
    <MapCard
      title="Deflection: speed and re-arm"
      x={{ values: grid.speedsDps, label: 'deflection fires at, °/s' }}
      y={{ values: grid.rearmRatios, label: 're-arms below this part of it' }}
      grid={grid}
      layers={DEFLECTION_LAYERS}
      region={suggestion?.region ?? null}
      suggested={suggestion ? [suggestion.speedDps, suggestion.rearmRatio] : null}
      onHover={setCell}
      handles={(area) => <CandidateMarks area={area} paths={DEFLECTION_PATHS} />}
      readOut={
        <>
          <b>
            {cell === null ? `${slot.toUpperCase()}, about ` : ''}
            {grid.speedsDps[Math.floor(shown / ratios)]} °/s, re-arm {grid.rearmRatios[shown % ratios]}
          </b>
          {`: once ${grid.once[shown]} of ${grid.swings} swings · missed ${grid.missed[shown]} · double ${grid.twice[shown]} · outside ${grid.outside[shown]}${delayText(grid.delayMedianMs[shown]!)}`}
        </>
      }
    />
  );
}

function delayText(delayMs: number): string {
  return Number.isNaN(delayMs) ? '' : ` · delay ${delayMs.toFixed(0)} ms`;
}
