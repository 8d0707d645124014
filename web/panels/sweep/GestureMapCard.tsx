import { useMemo, useState } from 'preact/hooks';
import type { GestureSuggestion } from '../../../server/engine/choose/gestures/choice.ts';
import { GESTURE_WORDS } from '../../../server/engine/choose/gestures/gestureNames.ts';
import { type GestureMapKind, gestureMap } from '../../../server/engine/choose/gestures/maps.ts';
import type { GestureGrid } from '../../../server/engine/choose/gestures/take.ts';
import { type NumberPath, readField } from '../../../server/engine/settings/candidateRules.ts';
import { editedCandidate, sight } from '../../state/store.ts';
import { CandidateMarks, type MapPaths } from './candidateMarks.tsx';
import { gestureLayers, shownMs } from './gestureLayers.ts';
import { MapCard } from './MapCard.tsx';
import { nearest } from './nearest.ts';

const TITLES: Readonly<Record<GestureMapKind, { title: string; x: string; y: string }>> = {
  stab: {
    title: 'Stab: thrust and quiet before',
    x: 'stab needs a thrust of, g',
    y: 'blade quiet before it for, ms',
  },
  impact: {
    title: 'Impact: level and rise',
    x: 'impact from, g',
    y: 'level rises per 100 °/s, by g',
  },
  twist: {
    title: 'Twist: turn and time',
    x: 'twist fires at a turn of, °',
    y: 'turned within, ms',
  },
};

/** The map of a detector of gestures over its two settings. */
export function GestureMapCard(props: {
  readonly kind: GestureMapKind;
  readonly grid: GestureGrid;
  readonly suggestion: GestureSuggestion | null;
}) {
  const { kind, grid, suggestion } = props;
  const [cell, setCell] = useState<number | null>(null);
  const layers = useMemo(() => gestureLayers(kind), [kind]);
  const paths = useMemo(() => pathsOf(kind), [kind]);
  const slot = sight.slot.value;
  const candidate = editedCandidate.value;
  const ownValue = (path: NumberPath) => Number(readField(candidate, path));
  const own = nearest(grid.xs, ownValue(paths.x)) * grid.ys.length + nearest(grid.ys, ownValue(paths.y));
  const shown = cell ?? own;
  const [x, y] = [grid.xs[Math.floor(shown / grid.ys.length)]!, grid.ys[shown % grid.ys.length]!];
  const { title, x: xLabel, y: yLabel } = TITLES[kind];
  return (
    <MapCard
      title={title}
      x={{ values: grid.xs, label: xLabel }}
      y={{ values: grid.ys, label: yLabel }}
      grid={grid}
      layers={layers}
      region={suggestion?.region ?? null}
      suggested={suggestion ? [suggestion.x, suggestion.y] : null}
      onHover={setCell}
      handles={(area) => <CandidateMarks area={area} paths={paths} />}
      readOut={
        <>
          <b>
            {cell === null ? `${slot.toUpperCase()}, about ` : ''}
            {paths.text(x, y)}
          </b>
          {`: ${cellText(kind, grid, shown)}`}
        </>
      }
    />
  );
}

function pathsOf(kind: GestureMapKind): MapPaths {
  const { x, y } = gestureMap(kind);
  return {
    x: `${kind}.${x.field}` as NumberPath,
    y: `${kind}.${y.field}` as NumberPath,
    xStep: x.step,
    yStep: y.step,
    text: GESTURE_WORDS[kind].setting,
  };
}

function cellText(kind: GestureMapKind, grid: GestureGrid, cell: number): string {
  const { several } = GESTURE_WORDS[kind];
  const { gestures } = grid;
  const delayMs = grid.delayMedianMs[cell]!;
  const parts = [
    `fires at ${gestures - grid.missed[cell]!} of ${gestures} ${several}`,
    `again ${grid.again[cell]}`,
    `outside ${grid.outside[cell]}`,
    ...(Number.isNaN(delayMs) ? [] : [`delay ${shownMs(delayMs)}`]),
  ];
  return gestures === 0 ? `no ${GESTURE_WORDS[kind].one} to count` : parts.join(' · ');
}
