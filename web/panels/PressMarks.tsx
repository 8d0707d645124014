import type { JSX } from 'preact';
import { useRef } from 'preact/hooks';
import type { PressVerdict } from '../../server/engine/detect/presses.ts';
import { intentOf } from '../../server/engine/labels/labels.ts';
import { pressReason } from '../../server/engine/words/presses.ts';
import { xOf } from '../charts/laneShapes.ts';
import { zoomToPress } from '../state/labelling.ts';
import type { Slot, TimeWindow } from '../state/model.ts';
import { openLabels } from '../state/openTake.ts';
import { sight } from '../state/store.ts';
import { type Verdicts, verdicts } from '../state/verdicts.ts';
import { FATE_WORDS, type Fate, fateOf } from './fate.ts';
import { showHint } from './hint.tsx';
import { PressMark } from './PressMark.tsx';

interface PressMarksProps {
  readonly slot: Slot;
  readonly verdict: Verdicts;
  readonly window: TimeWindow;
  readonly width: number;
  readonly y: number;
}

/** A mark is made anew only when it looks different: a drag passes over most of them without a change. */
export function PressMarks({ slot, verdict, window, width, y }: PressMarksProps) {
  const labels = openLabels.value;
  const kept = useRef(new Map<number, { readonly look: string; readonly node: JSX.Element }>());
  const nodeOf = (judged: PressVerdict, index: number): JSX.Element | null => {
    const { downUs } = judged.press;
    if (downUs < window.startUs || downUs > window.endUs) return null;
    const fate = fateOf(judged, intentOf(labels, judged.press)?.intent ?? null);
    const isChosen = sight.pressIndex.value === index;
    const x = xOf(downUs, window, width);
    const look = `${slot} ${fate} ${isChosen} ${x} ${y} ${downUs}`;
    const known = kept.current.get(index);
    if (known?.look === look) return known.node;
    const node = (
      <PressSpot key={index} slot={slot} index={index} fate={fate} isChosen={isChosen} x={x} y={y} />
    );
    kept.current.set(index, { look, node });
    return node;
  };
  return <g>{verdict.presses.map(nodeOf)}</g>;
}

function PressSpot(props: {
  slot: Slot;
  index: number;
  fate: Fate;
  isChosen: boolean;
  x: number;
  y: number;
}) {
  const { slot, index, fate, isChosen, x, y } = props;
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: the press bar is the keyboard's way to every press
    <g
      class={`press ${isChosen ? 'is-chosen' : ''} ${slot === 'b' ? 'is-b' : ''}`}
      data-mark
      data-press={`${slot}.${index}`}
      data-fate={fate}
      transform={`translate(${x} ${y})`}
      onPointerEnter={() => showReason(slot, index, fate, x, y)}
      onPointerLeave={() => showHint(null)}
      onClick={() => zoomToPress(index)}
    >
      <rect class="target" x={-11} y={-10} width={22} height={20} />
      <PressMark fate={fate} />
    </g>
  );
}

/** The reason is read when it is asked for: it changes with every step of a drag, the mark seldom. */
function showReason(slot: Slot, index: number, fate: Fate, x: number, y: number): void {
  const judged = verdicts[slot].peek()?.presses[index];
  if (judged) showHint({ x, y, title: FATE_WORDS[fate], text: pressReason(judged) });
}
