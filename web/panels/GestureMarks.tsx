import { useMemo } from 'preact/hooks';
import { tickPath, xOf } from '../charts/laneShapes.ts';
import type { Slot, TimeWindow } from '../state/model.ts';
import type { Verdicts } from '../state/verdicts.ts';
import { showHint } from './hint.tsx';

export type FiredKind = 'stab' | 'impact' | 'twist';

/** Shapes about the origin, 10 px across; labelled gestures have them hollow. */
export const GESTURE_PATHS: Readonly<Record<FiredKind, string>> = {
  stab: 'M-5 -4L5 0L-5 4z',
  impact: 'M0 -5V5M-4.5 -2.5L4.5 2.5M-4.5 2.5L4.5 -2.5',
  twist: 'M-4.5 1.5A4.6 4.6 0 1 1 1.5 4.5M1.5 4.5L4 2M1.5 4.5L-1 2',
};

const WORDS: Readonly<Record<FiredKind, string>> = { stab: 'Stab', impact: 'Hit', twist: 'Twist' };

interface MarksProps {
  readonly slot: Slot;
  readonly verdict: Verdicts;
  readonly window: TimeWindow;
  readonly width: number;
  readonly y: number;
  readonly scale: number;
}

/** Where a candidate's stabs, hits and twists fire; kept while none of these changes. */
export function GestureMarks({ slot, verdict, window, width, y, scale }: MarksProps) {
  return useMemo(
    () => (
      <g data-lane={`gestures-${slot}`}>
        {(['stab', 'impact', 'twist'] as const).map((kind) => (
          <Fired key={kind} {...{ slot, kind, verdict, window, width, y, scale }} />
        ))}
      </g>
    ),
    [verdict.stabs, verdict.impacts, verdict.twists, verdict.signals, window, width, y, scale],
  );
}

function Fired({ slot, kind, verdict, window, width, y, scale }: MarksProps & { readonly kind: FiredKind }) {
  const indices = { stab: verdict.stabs, impact: verdict.impacts, twist: verdict.twists }[kind];
  const marks = Array.from(indices).map((index) => {
    const tUs = verdict.signals.timeUs[index]!;
    if (tUs < window.startUs || tUs > window.endUs) return null;
    // A stab fires with the hit that ends it: it stands before that.
    const x = xOf(tUs, window, width) - (kind === 'stab' ? 9 * scale : 0);
    return (
      <g
        key={index}
        class={`gesture gesture-${kind} ${slot === 'b' ? 'is-b' : ''}`}
        data-mark
        data-gesture={`${slot}.${kind}`}
        transform={`translate(${x} ${y}) scale(${scale})`}
        onPointerEnter={() => hintOf(slot, kind, verdict, index, x, y)}
        onPointerLeave={() => showHint(null)}
      >
        <rect class="reach" x={-7} y={-7} width={14} height={14} />
        <path d={GESTURE_PATHS[kind]} />
      </g>
    );
  });
  return <g>{marks}</g>;
}

function hintOf(slot: Slot, kind: FiredKind, { signals }: Verdicts, index: number, x: number, y: number) {
  const at = (signals.timeUs[index]! / 1e6).toFixed(3);
  const speed = `${signals.swingSpeedDps[index]!.toFixed(0)} °/s`;
  const values: Readonly<Record<FiredKind, string>> = {
    stab: `a thrust that a hit of ${signals.impactG[index]!.toFixed(1)} g ended, swing speed ${speed}`,
    impact: `${signals.impactG[index]!.toFixed(1)} g at a swing speed of ${speed}`,
    twist: `turned to ${signals.twistDeg[index]!.toFixed(0)}° at a swing speed of ${speed}`,
  };
  showHint({
    x,
    y,
    title: `${WORDS[kind]}, candidate ${slot.toUpperCase()}, at ${at} s`,
    text: values[kind],
  });
}

/** The dial's steps at the foot of the twist stave: strokes above the middle turn it up, those below turn it down. */
export function DialTicks(props: {
  readonly verdict: Verdicts;
  readonly window: TimeWindow;
  readonly width: number;
  readonly height: number;
}) {
  const { verdict, window, width, height } = props;
  const { dial, signals } = verdict;
  const timesOf = (sign: 1 | -1) =>
    dial.filter(({ steps }) => Math.sign(steps) === sign).map(({ index }) => signals.timeUs[index]!);
  const [up, down] = useMemo(() => [timesOf(1), timesOf(-1)], [dial, signals]);
  const middle = height - 6;
  return (
    <svg class="dial-ticks" width={width} height={height} aria-hidden="true">
      <path data-dial="up" d={tickPath(up, window, width, middle - 5, middle - 0.5)} />
      <path data-dial="down" d={tickPath(down, window, width, middle + 0.5, middle + 5)} />
    </svg>
  );
}

/** The dial's steps over the take, in words. */
export function dialWords({ dial }: Pick<Verdicts, 'dial'>): string {
  const [up, down] = dialCounts(dial);
  return up + down === 0 ? 'no dial steps' : `dial: ${up} up, ${down} down`;
}

function dialCounts(dial: Verdicts['dial']): [number, number] {
  let [up, down] = [0, 0];
  for (const { steps } of dial) {
    if (steps > 0) up += steps;
    else down -= steps;
  }
  return [up, down];
}
