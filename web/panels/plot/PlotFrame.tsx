import type { ComponentChildren } from 'preact';
import { useId } from 'preact/hooks';
import { type PlotArea, type Scale, scaleOf, type Tick, ticksOf } from '../../charts/scale.ts';
import { useSize } from '../useSize.ts';
import { arrowOf, type Readout } from './readout.ts';

export interface PlotAxis {
  /** Linear where not given. */
  readonly kind?: Scale['kind'];
  readonly range: readonly [number, number];
  readonly label: string;
  /** In place of round values. */
  readonly ticks?: readonly Tick[];
  /** Whole steps only. */
  readonly isWhole?: boolean;
}

interface Margins {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  /** From an axis to its numbers. */
  readonly tickGap: number;
  /** Room that a number takes along the axis. */
  readonly across: number;
  readonly up: number;
}

/** Handles on the axes reach less far than the numbers begin, so that they cover none. */
const WITH_HANDLES: Margins = { left: 58, right: 12, top: 10, bottom: 44, tickGap: 14, across: 64, up: 48 };
/** The last number along x reaches half its width beyond the plot. */
const SMALL: Margins = { left: 58, right: 14, top: 8, bottom: 32, tickGap: 5, across: 44, up: 24 };

/** A plot with two axes; `children` draws into its area (SVG), `over` lies on top (HTML). */
export function PlotFrame(props: {
  readonly x: PlotAxis;
  readonly y: PlotAxis;
  readonly label: string;
  readonly children: (area: PlotArea) => ComponentChildren;
  readonly over?: (area: PlotArea) => ComponentChildren;
  /** Lies under the grid, such as a canvas. */
  readonly under?: (area: PlotArea) => ComponentChildren;
  readonly readout?: Readout;
  /** Little room and no handles: the axes are drawn, and what lies outside is cut off. */
  readonly isSmall?: boolean;
  /** Pixels kept free above the plot. */
  readonly above?: number;
}) {
  const { ref, width: full, height: tall } = useSize();
  const clip = useId();
  const margins = props.isSmall ? SMALL : WITH_HANDLES;
  const [left, top] = [margins.left, margins.top + (props.above ?? 0)];
  const width = Math.max(0, full - left - margins.right);
  const height = Math.max(0, tall - top - margins.bottom);
  const x = scaleOf(props.x.kind ?? 'linear', props.x.range, 0, width);
  const y = scaleOf(props.y.kind ?? 'linear', props.y.range, height, 0);
  const area = { x, y, width, height };
  return (
    <div class="frame" ref={ref}>
      {width > 0 && height > 0 && (
        <>
          <div class="frame-under" style={{ left: `${left}px`, top: `${top}px` }}>
            {props.under?.(area)}
          </div>
          <svg width={full} height={tall} role="img" aria-label={props.label}>
            <g transform={`translate(${left} ${top})`}>
              <Axes x={props.x} y={props.y} area={area} margins={margins} />
              {props.isSmall && (
                <clipPath id={clip}>
                  <rect y={-top} width={width} height={top + height} />
                </clipPath>
              )}
              <g clip-path={props.isSmall ? `url(#${clip})` : undefined}>{props.children(area)}</g>
              {props.isSmall && <path class="frame-edge" d={`M0 0V${height}H${width}`} />}
              {props.readout && <ReadMark readout={props.readout} area={area} />}
            </g>
          </svg>
          <Pointing label={props.label} readout={props.readout} area={area} left={left} top={top}>
            {props.over?.(area)}
          </Pointing>
        </>
      )}
    </div>
  );
}

/** The layer that follows pointer and arrow keys, and holds what can be dragged. */
function Pointing(props: {
  readonly label: string;
  readonly readout: Readout | undefined;
  readonly area: PlotArea;
  readonly left: number;
  readonly top: number;
  readonly children: ComponentChildren;
}) {
  const { readout, area, left, top } = props;
  const { width, height } = area;
  const style = { left: `${left}px`, top: `${top}px`, width: `${width}px`, height: `${height}px` };
  if (!readout) {
    return (
      <div class="frame-over" style={style}>
        {props.children}
      </div>
    );
  }
  const find = (event: MouseEvent) => {
    const box = (event.currentTarget as Element).getBoundingClientRect();
    return readout.find(event.clientX - box.left, event.clientY - box.top, area);
  };
  const onKeyDown = (event: KeyboardEvent): void => {
    const arrow = arrowOf(event);
    if (arrow) readout.onRead(readout.step(readout.at, ...arrow));
    else if (event.key === 'Escape' && readout.at !== null) readout.onRead(null);
    else if (event.key === 'Enter' && readout.at !== null) readout.onChoose?.(readout.at);
    else return;
    event.preventDefault();
    event.stopPropagation();
  };
  return (
    <div class="frame-over" style={style}>
      {/* Beside the handles, not around them: what can be worked must not lie within another such thing. */}
      <div
        class="frame-read"
        role="slider"
        tabIndex={0}
        aria-label={`Read: ${props.label}`}
        aria-valuenow={readout.at ?? 0}
        aria-valuetext={readout.at === null ? 'arrow keys read the plot' : readout.text}
        onPointerMove={(event) => readout.onRead(find(event))}
        onPointerLeave={() => readout.onRead(null)}
        onClick={(event) => {
          const found = find(event);
          if (found !== null) readout.onChoose?.(found);
        }}
        onKeyDown={onKeyDown}
      />
      {props.children}
    </div>
  );
}

/** Marks the place that is read, with its words where no other place shows them. */
function ReadMark({ readout, area }: { readonly readout: Readout; readonly area: PlotArea }) {
  const { at, lineAt, ringAt, text, isInPlot } = readout;
  if (at === null) return null;
  const ring = ringAt?.(at);
  return (
    <>
      {lineAt && <line class="read-line" transform={`translate(${area.x(lineAt(at))} 0)`} y2={area.height} />}
      {ring && <circle class="read-ring" cx={area.x(ring[0])} cy={area.y(ring[1])} r={8} />}
      {isInPlot && (
        <text class="read-text" x={area.width - 3} y={11} text-anchor="end">
          {text}
        </text>
      )}
    </>
  );
}

function Axes(props: {
  readonly x: PlotAxis;
  readonly y: PlotAxis;
  readonly area: PlotArea;
  readonly margins: Margins;
}) {
  const { x, y, area, margins } = props;
  const { width, height } = area;
  const { tickGap } = margins;
  return (
    <g class="frame-axes">
      {ticksAlong(x, area.x, width / margins.across).map(({ at, text }) => (
        <g key={text} transform={`translate(${area.x(at)} 0)`}>
          <line y2={height} />
          <text y={height + tickGap + 8} text-anchor="middle">
            {text}
          </text>
        </g>
      ))}
      {ticksAlong(y, area.y, height / margins.up).map(({ at, text }) => (
        <g key={text} transform={`translate(0 ${area.y(at)})`}>
          <line x2={width} />
          <text x={-tickGap} dy="0.32em" text-anchor="end">
            {text}
          </text>
        </g>
      ))}
      <text class="frame-name" x={width / 2} y={height + margins.bottom - 4} text-anchor="middle">
        {x.label}
      </text>
      <text class="frame-name" transform={`translate(-47 ${height / 2}) rotate(-90)`} text-anchor="middle">
        {y.label}
      </text>
    </g>
  );
}

function ticksAlong(axis: PlotAxis, scale: Scale, most: number): readonly Tick[] {
  const ticks = axis.ticks ?? ticksOf(scale, Math.max(2, most));
  if (!axis.isWhole) return ticks;
  return ticks.filter(({ at }) => Number.isInteger(at)).map(({ at }) => ({ at, text: String(at) }));
}
