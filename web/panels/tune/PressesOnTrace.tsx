import { useMemo } from 'preact/hooks';
import { dipAt } from '../../../server/engine/explain/dip.ts';
import { yOf } from '../../charts/geometry.ts';
import { xOf } from '../../charts/laneShapes.ts';
import { FATE_WORDS, type Fate } from '../../state/fate.ts';
import { pressesInSight } from '../../state/judgedMarks.ts';
import { choosePress, zoomToPress } from '../../state/labelling.ts';
import type { TimeWindow } from '../../state/model.ts';
import { openLabels } from '../../state/openTake.ts';
import { sight } from '../../state/store.ts';
import type { Verdicts } from '../../state/verdicts.ts';
import { PressMark } from '../PressMark.tsx';
import { isCrowded } from './crowd.ts';

interface PlotProps {
  readonly verdict: Verdicts;
  readonly window: TimeWindow;
  readonly range: readonly [number, number];
  readonly width: number;
  readonly height: number;
}

/**
 * Where on the speed each press met the guard, and what became of it; the worst one with its dip and its hold. Where they
 * would lie on one another the worst one alone: the lane below counts the rest.
 */
export function PressesOnTrace({ verdict, window, range, width, height }: PlotProps) {
  const marks = pressesInSight(verdict.presses, openLabels.value, window);
  const worst = marks.worst();
  const shown = !isCrowded(marks, width) ? marks.list() : worst ? [worst] : [];
  const chosen = sight.pressIndex.value;
  return (
    <svg class="presses-on-trace" width={width} height={height} role="img" aria-label={altOf(marks.length)}>
      {worst && <DipOf {...{ verdict, window, range, width, height }} press={worst.verdict} />}
      {shown.map(({ verdict: { pressIndex, decidedUs, press, speedDps }, fate }) => {
        if (speedDps === null || Number.isNaN(speedDps)) return null;
        const x = xOf(decidedUs ?? press.downUs, window, width);
        const y = Math.min(height - 7, Math.max(7, yOf(speedDps, range, height)));
        return (
          <Traced key={pressIndex} index={pressIndex} isChosen={pressIndex === chosen} {...{ fate, x, y }} />
        );
      })}
    </svg>
  );
}

function Traced(props: { index: number; isChosen: boolean; fate: Fate; x: number; y: number }) {
  const { index, isChosen, fate, x, y } = props;
  // As in the lane below: what only moves is not looked into.
  const look = useMemo(
    () => [
      <circle key="target" class="target" r={10} />,
      <PressMark key="mark" fate={fate} />,
      <title key="title">{FATE_WORDS[fate]}</title>,
    ],
    [fate],
  );
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: the press bar is the keyboard's way to every press
    <g
      class={`press ${isChosen ? 'is-chosen' : ''}`}
      data-mark
      data-traced={index}
      data-fate={fate}
      transform={`translate(${x} ${y})`}
      onClick={() => (sight.window.peek() ? choosePress(index) : zoomToPress(index))}
    >
      {look}
    </g>
  );
}

function altOf(count: number): string {
  return `Presses on the swing speed: ${count} in sight`;
}

/** The slow stretch around a press, down from the guard's speed, and how far the hold reaches into it. */
function DipOf({
  verdict,
  window,
  range,
  width,
  height,
  press,
}: PlotProps & { press: Verdicts['presses'][0] }) {
  const dip = dipAt(verdict.signals, press);
  if (dip === null) return null;
  const { settings } = press;
  const level = yOf(settings.speedDps, range, height);
  const x = (us: number) => Math.min(width, Math.max(0, xOf(us, window, width)));
  const [left, right] = [dip.fromUs ?? window.startUs, dip.untilUs ?? window.endUs].map(x) as [
    number,
    number,
  ];
  const at = x(dip.atUs);
  return (
    <g class="dip">
      <rect
        class="dip-ground"
        x={left}
        width={Math.max(0, right - left)}
        y={level}
        height={Math.max(0, height - level)}
      />
      {dip.fromUs !== null && settings.holdMs > 0 && (
        <path class="dip-hold" d={`M${left} ${level + 4}H${x(dip.fromUs + settings.holdMs * 1000)}`} />
      )}
      <path class="dip-lead" d={`M${at} 0V${yOf(dip.speedDps, range, height) - 8}`} />
    </g>
  );
}
