import { useMemo, useState } from 'preact/hooks';
import type { Suggestion } from '../../../server/engine/choose/suggest.ts';
import type { GuardGrid } from '../../../server/engine/choose/takeSweep.ts';
import type { GuardSettings } from '../../../server/engine/detect/guard.ts';
import { editedCandidate, sight } from '../../state/store.ts';
import { CandidateMarks, GUARD_PATHS } from './candidateMarks.tsx';
import { GUARD_LAYERS, type Layer } from './layers.ts';
import { MapCard } from './MapCard.tsx';
import { nearest } from './nearest.ts';

/** What a map of the guard counts: presses, or what stands for them. */
export interface MapUnits {
  readonly layers: readonly Layer<GuardGrid>[];
  readonly strays: string;
  readonly wanted: string;
}

const PRESS_UNITS: MapUnits = { layers: GUARD_LAYERS, strays: 'strays through', wanted: 'wanted refused' };

/** The guard's map over speed and hold. */
export function GuardMap({
  grid,
  suggestion,
  units = PRESS_UNITS,
}: {
  readonly grid: GuardGrid;
  readonly suggestion: Suggestion | null;
  readonly units?: MapUnits;
}) {
  const [cell, setCell] = useState<number | null>(null);
  const slot = sight.slot.value;
  const { guard } = editedCandidate.value;
  const holds = grid.holdsMs.length;
  const own = useMemo(() => cellOf(grid, guard), [grid, guard]);
  const shown = cell ?? own;
  const place = (at: number) =>
    `${grid.speedsDps[Math.floor(at / holds)]} °/s, ${grid.holdsMs[at % holds]} ms`;
  return (
    <MapCard
      title="Guard: speed and hold"
      x={{ values: grid.speedsDps, label: 'guard closes at, °/s' }}
      y={{ values: grid.holdsMs, label: 'hold after swing, ms' }}
      grid={grid}
      layers={units.layers}
      region={suggestion?.region ?? null}
      suggested={suggestion ? [suggestion.speedDps, suggestion.holdMs] : null}
      onHover={setCell}
      handles={(area) => <CandidateMarks area={area} paths={GUARD_PATHS} />}
      readOut={
        <>
          <b>
            {cell === null ? `${slot.toUpperCase()}, about ` : ''}
            {place(shown)}
          </b>
          {`: ${cellText(grid, shown, units)}`}
        </>
      }
    />
  );
}

/** The cell nearest to a candidate's setting. */
function cellOf({ speedsDps, holdsMs }: GuardGrid, { speedDps, holdMs }: GuardSettings): number {
  return nearest(speedsDps, speedDps) * holdsMs.length + nearest(holdsMs, holdMs);
}

function cellText(grid: GuardGrid, cell: number, units: MapUnits): string {
  const parts = [
    ...(grid.strays > 0 ? [`${units.strays} ${grid.strayLetThrough[cell]} of ${grid.strays}`] : []),
    ...(grid.wanted > 0 ? [`${units.wanted} ${grid.wantedRefused[cell]} of ${grid.wanted}`] : []),
    ...(grid.reversals > 0 ? [`reversals open ${grid.reversalsOpen[cell]} of ${grid.reversals}`] : []),
  ];
  const open = grid.openShare[cell]!;
  if (!Number.isNaN(open)) parts.push(`open ${(open * 100).toFixed(1)} % of the spin`);
  const waitMs = grid.waitMedianMs[cell]!;
  if (!Number.isNaN(waitMs)) parts.push(`wait ${waitMs.toFixed(0)} ms`);
  return parts.length === 0 ? 'nothing to count in these takes' : parts.join(' · ');
}
