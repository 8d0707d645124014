import type { ComponentChildren } from 'preact';
import { useSize } from '../useSize.ts';
import { linearScale, type Scale, ticksIn } from './ticks.ts';

export interface PlotArea {
  readonly x: Scale;
  readonly y: Scale;
  readonly width: number;
  readonly height: number;
}

interface Axis {
  readonly range: readonly [number, number];
  readonly label: string;
  /** How a tick is written; as it is where not given. */
  readonly format?: (value: number) => string;
  /** Whole steps only. */
  readonly isWhole?: boolean;
}

const LEFT = 58;
const RIGHT = 12;
const TOP = 10;
const BOTTOM = 44;
/** From an axis to its numbers: a handle on the axis reaches less far, so that it covers none. */
const TICK_GAP = 14;

/** A plot with two linear axes; `children` draws into its area (SVG), `over` lies on top (HTML). */
export function PlotFrame(props: {
  readonly x: Axis;
  readonly y: Axis;
  readonly label: string;
  readonly children: (area: PlotArea) => ComponentChildren;
  readonly over?: (area: PlotArea) => ComponentChildren;
  /** Lies under the grid, such as a canvas. */
  readonly under?: (area: PlotArea) => ComponentChildren;
  onPointer?(at: { readonly x: number; readonly y: number } | null, area: PlotArea): void;
  onClick?(at: { readonly x: number; readonly y: number }, area: PlotArea): void;
}) {
  const { ref, width: full, height: tall } = useSize();
  const width = Math.max(0, full - LEFT - RIGHT);
  const height = Math.max(0, tall - TOP - BOTTOM);
  const x = linearScale(...props.x.range, 0, width);
  const y = linearScale(...props.y.range, height, 0);
  const area = { x, y, width, height };
  const place = (event: PointerEvent | MouseEvent) => {
    const box = (event.currentTarget as Element).getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top };
  };
  return (
    <div class="frame" ref={ref}>
      {width > 0 && height > 0 && (
        <>
          <div class="frame-under" style={{ left: `${LEFT}px`, top: `${TOP}px` }}>
            {props.under?.(area)}
          </div>
          <svg width={full} height={tall} role="img" aria-label={props.label}>
            <g transform={`translate(${LEFT} ${TOP})`}>
              <Axes x={props.x} y={props.y} area={area} />
              {props.children(area)}
            </g>
          </svg>
          {/* biome-ignore lint/a11y/noStaticElementInteractions: a pointer's short cut; what it does, handles and tables do by key */}
          {/* biome-ignore lint/a11y/useKeyWithClickEvents: as above */}
          <div
            class="frame-over"
            style={{ left: `${LEFT}px`, top: `${TOP}px`, width: `${width}px`, height: `${height}px` }}
            onPointerMove={(event) => props.onPointer?.(place(event), area)}
            onPointerLeave={() => props.onPointer?.(null, area)}
            onClick={(event) => props.onClick?.(place(event), area)}
          >
            {props.over?.(area)}
          </div>
        </>
      )}
    </div>
  );
}

function Axes({ x, y, area }: { readonly x: Axis; readonly y: Axis; readonly area: PlotArea }) {
  const { width, height } = area;
  const write = (axis: Axis, value: number) => axis.format?.(value) ?? String(value);
  const wholeOnly = (axis: Axis, ticks: number[]) =>
    axis.isWhole ? ticks.filter((tick) => Number.isInteger(tick)) : ticks;
  return (
    <g class="frame-axes">
      {wholeOnly(x, ticksIn(...x.range, Math.max(2, width / 64))).map((tick) => (
        <g key={tick} transform={`translate(${area.x(tick)} 0)`}>
          <line y2={height} />
          <text y={height + TICK_GAP + 8} text-anchor="middle">
            {write(x, tick)}
          </text>
        </g>
      ))}
      {wholeOnly(y, ticksIn(...y.range, Math.max(2, height / 34))).map((tick) => (
        <g key={tick} transform={`translate(0 ${area.y(tick)})`}>
          <line x2={width} />
          <text x={-TICK_GAP} dy="0.32em" text-anchor="end">
            {write(y, tick)}
          </text>
        </g>
      ))}
      <text class="frame-name" x={width / 2} y={height + 39} text-anchor="middle">
        {x.label}
      </text>
      <text class="frame-name" transform={`translate(-48 ${height / 2}) rotate(-90)`} text-anchor="middle">
        {y.label}
      </text>
    </g>
  );
}
