import { batch } from '@preact/signals';
import type { Weighing } from '../../../server/engine/choose/problem.ts';
import { limited, type NumberPath, readField } from '../../../server/engine/settings/candidateRules.ts';
import { PROBLEM_WORDS } from '../../../server/engine/words/choose/problems.ts';
import type { PlotArea } from '../../charts/scale.ts';
import type { Slot } from '../../state/model.ts';
import { candidates, dispatch, sight } from '../../state/store.ts';
import { Handle } from '../plot/Handle.tsx';

/** The two settings that a map spans. */
interface MapPaths {
  readonly x: NumberPath;
  readonly y: NumberPath;
  readonly xStep: number;
  readonly yStep: number;
  text(x: number, y: number): string;
}

export function pathsOf({ kind, group, x, y }: Pick<Weighing, 'kind' | 'group' | 'x' | 'y'>): MapPaths {
  return {
    x: `${group}.${x.field}` as NumberPath,
    y: `${group}.${y.field}` as NumberPath,
    xStep: x.step,
    yStep: y.step,
    text: PROBLEM_WORDS[kind].setting,
  };
}

/** Candidates A and B as points to drag; that of the one under edit lies on top. */
export function CandidateMarks({ area, paths }: { readonly area: PlotArea; readonly paths: MapPaths }) {
  const slot = sight.slot.value;
  const showB = sight.showB.value;
  const slots: readonly Slot[] = slot === 'b' ? ['a', 'b'] : showB ? ['b', 'a'] : ['a'];
  return (
    <>
      {slots.map((which) => (
        <CandidateMark key={which} slot={which} area={area} paths={paths} />
      ))}
    </>
  );
}

function CandidateMark({
  slot,
  area,
  paths,
}: {
  readonly slot: Slot;
  readonly area: PlotArea;
  readonly paths: MapPaths;
}) {
  const candidate = candidates[slot].value;
  const x = Number(readField(candidate, paths.x));
  const y = Number(readField(candidate, paths.y));
  const isOutside = area.x(x) < 0 || area.x(x) > area.width || area.y(y) < 0 || area.y(y) > area.height;
  const letter = slot.toUpperCase();
  const set = (toX: number, toY: number, gesture: string): void => {
    const change = (path: NumberPath, to: number, step: number) => {
      const value = limited(path, Math.round(to / step) * step);
      dispatch({ type: 'settingChanged', slot, path, value, gesture });
    };
    batch(() => {
      change(paths.x, toX, paths.xStep);
      change(paths.y, toY, paths.yStep);
    });
  };
  return (
    <Handle
      area={area}
      x={x}
      y={y}
      nudge={[paths.xStep, paths.yStep]}
      name={`Candidate ${letter}`}
      valueText={`${paths.text(x, y)}${isOutside ? ', outside the map' : ''}`}
      className={`candidate is-${slot} ${isOutside ? 'is-outside' : ''} ${sight.slot.value === slot ? 'is-edited' : ''}`}
      gesture={`map ${slot} ${paths.x}`}
      onGrab={() => dispatch({ type: 'slotChosen', slot })}
      onMove={set}
    >
      {letter}
    </Handle>
  );
}
