import type { JSX } from 'preact';
import { useMemo, useRef } from 'preact/hooks';
import { intentOf } from '../../server/engine/labels/labels.ts';
import { pressReason } from '../../server/engine/words/presses.ts';
import { xOf } from '../charts/laneShapes.ts';
import { FATE_WORDS, type Fate } from '../state/fate.ts';
import { type JudgedMark, pressesInSight } from '../state/judgedMarks.ts';
import { zoomToPress } from '../state/labelling.ts';
import type { Slot, TimeWindow } from '../state/model.ts';
import { openLabels } from '../state/openTake.ts';
import { sight } from '../state/store.ts';
import { type Verdicts, verdicts } from '../state/verdicts.ts';
import { showHint } from './hint.tsx';
import { PressBands } from './PressBands.tsx';
import { PressMark } from './PressMark.tsx';
import { isCrowded } from './tune/crowd.ts';

interface PressMarksProps {
  readonly slot: Slot;
  readonly verdict: Verdicts;
  readonly window: TimeWindow;
  readonly width: number;
  readonly y: number;
}

/** A mark is made anew only when it looks different: a drag passes over most of them without a change. */
export function PressMarks({ slot, verdict, window, width, y }: PressMarksProps) {
  const marks = pressesInSight(verdict.presses, openLabels.value, window);
  const kept = useRef(new Map<number, { readonly look: string; readonly node: JSX.Element }>());
  const nodeOf = ({ verdict: { press, pressIndex: index }, fate }: JudgedMark): JSX.Element => {
    const { downUs } = press;
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
  if (isCrowded(marks, width))
    return <PressBands slot={slot} marks={marks} window={window} width={width} y={y} />;
  return <g>{marks.list().map(nodeOf)}</g>;
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
  // The same as long as it looks the same: a mark that only moves costs no look at what it is made of.
  const look = useMemo(
    () => [
      <rect key="target" class="target" x={-11} y={-10} width={22} height={20} />,
      <PressMark key="mark" fate={fate} />,
    ],
    [fate],
  );
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
      {look}
    </g>
  );
}

/** The reason is read when it is asked for: it changes with every step of a drag, the mark seldom. */
function showReason(slot: Slot, index: number, fate: Fate, x: number, y: number): void {
  const judged = verdicts[slot].peek()?.presses[index];
  if (!judged) return;
  const intent = intentOf(openLabels.peek(), judged.press)?.intent ?? null;
  showHint({ x, y, title: FATE_WORDS[fate], text: pressReason(judged, intent) });
}
