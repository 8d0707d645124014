import { useMemo } from 'preact/hooks';
import type { Span } from '../../server/engine/base/log.ts';
import { spanOfRun } from '../../server/engine/detect/closedRuns.ts';
import { GUTTER_LEFT, GUTTER_RIGHT } from '../charts/geometry.ts';
import { type Spans, spanPath, xOf } from '../charts/laneShapes.ts';
import { spanMode } from '../state/labelWalk.ts';
import type { TimeWindow } from '../state/model.ts';
import { sight } from '../state/store.ts';
import { type Verdicts, verdicts } from '../state/verdicts.ts';
import { DEFLECTION_ROW, DeflectionLane } from './DeflectionLane.tsx';
import { DeviceLane, deviceHeight, deviceLaneNames } from './DeviceLane.tsx';
import { DeviceLines } from './DeviceLine.tsx';
import { GestureMarks } from './GestureMarks.tsx';
import { MarkHint } from './hint.tsx';
import { Legend } from './Legend.tsx';
import { LabelBar } from './labels/ItemBar.tsx';
import { LABEL_ROW, LabelRow, SPIN_ROW, SpinRow } from './labels/LabelRows.tsx';
import { SpanModeBar } from './labels/SpanMode.tsx';
import { PressMarks } from './PressMarks.tsx';
import { useSize } from './useSize.ts';

const LABEL_ROWS = SPIN_ROW + LABEL_ROW;
const ROW = { guard: 20, press: 21, gesture: 18, twoGestures: 24 };

/** The lanes between the staves: what the prop would have done. */
export function Lanes({ window }: { readonly window: TimeWindow }) {
  const { ref, width } = useSize();
  const plot = Math.max(0, width - GUTTER_LEFT - GUTTER_RIGHT);
  const a = verdicts.a.value;
  const b = sight.showB.value ? verdicts.b.value : null;
  const chosen = a?.presses[sight.pressIndex.value ?? -1];
  const gestureRow = b ? ROW.twoGestures : ROW.gesture;
  const pressTop = LABEL_ROWS + ROW.guard;
  const deflectionTop = pressTop + ROW.press * (b ? 2 : 1);
  const gestureTop = deflectionTop + DEFLECTION_ROW;
  const deviceTop = gestureTop + gestureRow;
  const height = deviceTop + deviceHeight();
  // Rows that a threshold leaves as they are keep their nodes: nothing of them is compared in a drag.
  const labelRows = useMemo(
    () => [
      <SpinRow key="spin" window={window} width={plot} top={0} />,
      <LabelRow key="labels" window={window} width={plot} top={SPIN_ROW} />,
    ],
    [window, plot],
  );
  return (
    <section class="card lanes" aria-label="What the prop would have done">
      <header>
        <LabelBar />
        {spanMode.value ? <SpanModeBar /> : <Legend window={window} width={plot} />}
      </header>
      <div class="lane-plot" ref={ref} data-plot>
        {a && plot > 0 && (
          <svg
            width={width}
            height={height}
            role="img"
            aria-label="Lanes: spinning, guard, power presses, deflections and other gestures"
          >
            <LaneNames
              rows={[
                ...laneNames(b !== null, pressTop, deflectionTop, gestureTop),
                ...deviceLaneNames(deviceTop),
              ]}
            />
            {/* biome-ignore lint/a11y/noSvgWithoutTitle: a frame that clips, no picture of its own */}
            <svg x={GUTTER_LEFT} width={plot} height={height} overflow="hidden">
              {labelRows}
              <GuardLane window={window} width={plot} a={a} b={b} top={LABEL_ROWS} />
              <DeflectionLane window={window} width={plot} a={a} b={b} top={deflectionTop} />
              <GestureMarks
                slot="a"
                verdict={a}
                window={window}
                width={plot}
                y={gestureTop + (b ? 6 : ROW.gesture / 2)}
                scale={b ? 0.85 : 1}
              />
              {b && (
                <GestureMarks
                  slot="b"
                  verdict={b}
                  window={window}
                  width={plot}
                  y={gestureTop + 17}
                  scale={0.85}
                />
              )}
              <DeviceLane window={window} width={plot} top={deviceTop} />
              {chosen && (
                <path class="press-guide" d={`M${xOf(chosen.press.downUs, window, plot)} 0V${height}`} />
              )}
            </svg>
            <g transform={`translate(${GUTTER_LEFT} 0)`}>
              <PressMarks slot="a" verdict={a} window={window} width={plot} y={pressTop + ROW.press / 2} />
              {b && (
                <PressMarks
                  slot="b"
                  verdict={b}
                  window={window}
                  width={plot}
                  y={pressTop + ROW.press * 1.5}
                />
              )}
            </g>
          </svg>
        )}
        <MarkHint />
      </div>
      <DeviceLines />
    </section>
  );
}

function laneNames(
  hasB: boolean,
  pressTop: number,
  deflectionTop: number,
  gestureTop: number,
): [string, number][] {
  const presses: [string, number][] = hasB
    ? [
        ['Presses A', pressTop + ROW.press / 2],
        ['Presses B', pressTop + ROW.press * 1.5],
      ]
    : [['Power presses', pressTop + ROW.press / 2]];
  return [
    ['Spinning', SPIN_ROW / 2],
    ['Labels', SPIN_ROW + LABEL_ROW / 2],
    [hasB ? 'Guard A · B' : 'Guard', LABEL_ROWS + ROW.guard / 2],
    ...presses,
    [hasB ? 'Deflect A · B' : 'Deflection', deflectionTop + DEFLECTION_ROW / 2],
    [hasB ? 'Gesture A · B' : 'Gestures', gestureTop + (hasB ? ROW.twoGestures : ROW.gesture) / 2],
  ];
}

function LaneNames({ rows }: { readonly rows: readonly [string, number][] }) {
  return (
    <g class="lane-names">
      {rows.map(([name, y]) => (
        <text key={name} x={0} y={y + 4}>
          {name}
        </text>
      ))}
    </g>
  );
}

interface LaneProps {
  readonly window: TimeWindow;
  readonly width: number;
  readonly top: number;
}

/** Looked up where they are in sight, once for each run: a step of a drag looks up no others, and one of zoom none twice. */
function closedSpansOf({ signals, closed: { runs } }: Verdicts): Spans {
  const known = new Array<Span | undefined>(runs.length);
  const at = (place: number): Span => {
    const span = known[place] ?? spanOfRun(signals, runs[place]!);
    known[place] = span;
    return span;
  };
  return { length: runs.length, at };
}

function useClosedSpans(verdict: Verdicts | null): Spans | null {
  return useMemo(() => verdict && closedSpansOf(verdict), [verdict?.signals, verdict?.closed]);
}

function GuardLane({
  window,
  width,
  top,
  a,
  b,
}: LaneProps & { readonly a: Verdicts; readonly b: Verdicts | null }) {
  const height = b ? 7.5 : 13;
  const spansOfA = useClosedSpans(a);
  const spansOfB = useClosedSpans(b);
  return (
    <g>
      <path class="lane-guard" data-lane="guard-a" d={spanPath(spansOfA!, window, width, top + 3, height)}>
        <title>Guard closed, candidate A: a power press would be refused</title>
      </path>
      {spansOfB && (
        <path
          class="lane-guard is-b"
          data-lane="guard-b"
          d={spanPath(spansOfB, window, width, top + 12, 5.5)}
        >
          <title>Guard closed, candidate B</title>
        </path>
      )}
    </g>
  );
}
