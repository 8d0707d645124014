import { useEffect, useMemo, useRef } from 'preact/hooks';
import { extremesOf } from '../charts/extremes.ts';
import { GUTTER_LEFT, GUTTER_RIGHT } from '../charts/geometry.ts';
import { xOf } from '../charts/laneShapes.ts';
import { palette } from '../charts/palette.ts';
import { centreOn, clampWindow, wholeTake } from '../charts/view.ts';
import { type ViewData, viewData } from '../charts/viewData.ts';
import type { TimeWindow } from '../state/model.ts';
import type { OpenTake } from '../state/openTake.ts';
import { dispatch } from '../state/store.ts';
import type { Verdicts } from '../state/verdicts.ts';
import { useSize } from './useSize.ts';

interface StripProps {
  readonly take: OpenTake;
  readonly signals: Verdicts['signals'];
  readonly window: TimeWindow;
}

/** The whole take in small, with the window in it to move and to stretch. */
export function OverviewStrip({ take, signals, window }: StripProps) {
  const { ref, width, height } = useSize();
  const canvas = useRef<HTMLCanvasElement>(null);
  const plot = Math.max(0, width - GUTTER_LEFT - GUTTER_RIGHT);
  const whole = wholeTake(take.durationUs);
  const data = useMemo(
    () => viewData(signals, [extremesOf(signals.swingSpeedDps)], whole, Math.max(1, plot)),
    [signals, whole.endUs, plot],
  );
  useEffect(() => {
    if (canvas.current && plot > 0) drawStrip(canvas.current, data, whole, plot, height, palette.value.quiet);
  }, [data, plot, height, palette.value]);

  const isWhole = window.startUs <= whole.startUs && window.endUs >= whole.endUs;
  const [left, right] = [xOf(window.startUs, whole, plot), xOf(window.endUs, whole, plot)];
  /** Outside the window: it comes to where the pointer is, and goes on with it. */
  const jump = (event: PointerEvent): void => {
    const { left: edge } = (event.currentTarget as HTMLElement).getBoundingClientRect();
    const part = (event.clientX - edge - GUTTER_LEFT) / plot;
    if (event.button !== 0 || !(part >= 0 && part <= 1)) return;
    const moved = centreOn(part * whole.endUs, window.endUs - window.startUs, take.durationUs);
    dispatch({ type: 'windowMoved', window: moved });
    if (moved) drag('both', moved)(event);
  };
  const drag = (part: 'start' | 'end' | 'both', window: TimeWindow) => (event: PointerEvent) => {
    event.preventDefault();
    event.stopPropagation();
    const handle = event.currentTarget as HTMLElement;
    handle.setPointerCapture(event.pointerId);
    const from = event.clientX;
    const listeners = new AbortController();
    handle.addEventListener(
      'pointermove',
      (moved) => {
        const byUs = ((moved.clientX - from) / plot) * whole.endUs;
        const to = {
          startUs: part === 'end' ? window.startUs : window.startUs + byUs,
          endUs: part === 'start' ? window.endUs : window.endUs + byUs,
        };
        if (to.endUs - to.startUs > 0)
          dispatch({ type: 'windowMoved', window: clampWindow(to, take.durationUs) });
      },
      { signal: listeners.signal },
    );
    for (const kind of ['pointerup', 'pointercancel'])
      handle.addEventListener(kind, () => listeners.abort(), { signal: listeners.signal });
  };
  return (
    <section class="card strip" aria-label="The whole take">
      {/* biome-ignore lint/a11y/noStaticElementInteractions: the keys 0, + and - do the same */}
      <div
        class="strip-plot"
        ref={ref}
        onPointerDown={jump}
        onDblClick={() => dispatch({ type: 'windowMoved', window: null })}
      >
        {isWhole ? (
          <span class="strip-name">Whole take</span>
        ) : (
          <button
            type="button"
            class="small strip-name"
            title="Show the whole take (0)"
            onPointerDown={(event) => event.stopPropagation()}
            onClick={() => dispatch({ type: 'windowMoved', window: null })}
          >
            Show all
          </button>
        )}
        <canvas
          ref={canvas}
          style={{ left: `${GUTTER_LEFT}px`, width: `${plot}px`, height: `${height}px` }}
        />
        <div class="strip-window" style={{ left: `${GUTTER_LEFT + left}px`, width: `${right - left}px` }}>
          <span class="strip-move" onPointerDown={drag('both', window)} />
          <span class="strip-edge" onPointerDown={drag('start', window)} />
          <span class="strip-edge is-end" onPointerDown={drag('end', window)} />
        </div>
      </div>
    </section>
  );
}

function drawStrip(
  canvas: HTMLCanvasElement,
  data: ViewData,
  whole: TimeWindow,
  width: number,
  height: number,
  colour: string,
): void {
  canvas.width = Math.round(width * devicePixelRatio);
  canvas.height = Math.round(height * devicePixelRatio);
  const context = canvas.getContext('2d');
  if (!context) return;
  context.scale(devicePixelRatio, devicePixelRatio);
  const values = data.channels[0]!;
  let top = 1;
  for (const value of values) if (value > top) top = value;
  context.strokeStyle = colour;
  context.lineWidth = 1;
  context.beginPath();
  let isDown = false;
  values.forEach((value, i) => {
    if (Number.isNaN(value)) {
      isDown = false;
      return;
    }
    const x = xOf(data.seconds[i]! * 1e6, whole, width);
    const y = height - 2 - (value / top) * (height - 5);
    if (isDown) context.lineTo(x, y);
    else context.moveTo(x, y);
    isDown = true;
  });
  context.stroke();
}
