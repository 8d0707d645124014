import { useState } from 'preact/hooks';
import type { Evidence } from '../../../server/engine/choose/problem.ts';
import type { Suggestion } from '../../../server/engine/choose/suggest.ts';
import { readField } from '../../../server/engine/settings/candidateRules.ts';
import type { SweepGrid } from '../../../server/engine/sweep/grid.ts';
import { editedCandidate, sight } from '../../state/store.ts';
import { CandidateMarks, pathsOf } from './candidateMarks.tsx';
import { MapCard } from './MapCard.tsx';
import type { MapView } from './maps/mapView.ts';

/** A map over two settings, with what stands at the pointer, or else at the candidate under edit. */
export function ChoiceMap<Part extends string, Grid extends SweepGrid<Part>, Own extends Evidence, Why>({
  view,
  grid,
  suggestion,
}: {
  readonly view: MapView<Part, Grid, Own, Why>;
  readonly grid: Grid;
  readonly suggestion: Suggestion<Part> | null;
}) {
  const [cell, setCell] = useState<number | null>(null);
  const { xs, ys } = grid;
  const paths = pathsOf(view.problem);
  const candidate = editedCandidate.value;
  const own =
    nearest(xs, Number(readField(candidate, paths.x))) * ys.length +
    nearest(ys, Number(readField(candidate, paths.y)));
  const shown = cell ?? own;
  const letter = sight.slot.value.toUpperCase();
  const text = paths.text(xs[Math.floor(shown / ys.length)]!, ys[shown % ys.length]!);
  // Where the candidate is none of those that were tried, the nearest one is told of.
  const isOn =
    text === paths.text(Number(readField(candidate, paths.x)), Number(readField(candidate, paths.y)));
  return (
    <MapCard
      title={view.title}
      x={{ values: xs, label: view.xLabel }}
      y={{ values: ys, label: view.yLabel }}
      grid={grid}
      layers={view.layers}
      outline={view.problem.steps.length > 0 ? 'just as good, reversals included' : 'just as good'}
      region={suggestion?.plateau.region ?? null}
      suggested={suggestion ? [suggestion.x, suggestion.y] : null}
      onHover={setCell}
      handles={(area) => <CandidateMarks area={area} paths={paths} />}
      readOut={
        <>
          <b>{cell === null && isOn ? letter : `${cell === null ? `${letter}, about ` : ''}${text}`}</b>
          {`: ${view.cellText(grid, shown, cell === null)}`}
        </>
      }
    />
  );
}

/** The place of the value nearest to the wanted one. */
function nearest(values: Float64Array, wanted: number): number {
  let best = 0;
  for (let i = 1; i < values.length; ++i)
    if (Math.abs(values[i]! - wanted) < Math.abs(values[best]! - wanted)) best = i;
  return best;
}
