import type { ComponentChildren } from 'preact';
import { useId } from 'preact/hooks';
import { KeyMark } from '../KeyMark.tsx';
import { useSize } from '../useSize.ts';
import { place, type Scale, ticksOf } from './scale.ts';

const LEFT = 58;
const RIGHT = 10;
const TOP = 8;
const BOTTOM = 32;

export interface PlotAxis {
  readonly kind: Scale['kind'];
  readonly range: readonly [number, number];
  readonly label: string;
}

export interface PlotScales {
  readonly x: Scale;
  readonly y: Scale;
}

export interface KeyEntry {
  readonly name: string;
  /** Class of the line: colour and dash. */
  readonly line: string;
}

/** A small plot with its title and what it says in a sentence, which is also its text for screen readers. */
export function Plot(props: {
  title: string;
  says: string;
  x: PlotAxis;
  y: PlotAxis;
  legend?: readonly KeyEntry[];
  /** A number line: low, and without a scale up its side. */
  isFlat?: boolean;
  children(scales: PlotScales): ComponentChildren;
}) {
  const { ref, width, height } = useSize();
  const clip = useId();
  const x: Scale = axis(props.x, LEFT, width - RIGHT);
  const y: Scale = axis(props.y, height - BOTTOM, TOP);
  const [plotWidth, plotHeight] = [width - LEFT - RIGHT, height - TOP - BOTTOM];
  return (
    <figure class={`card small-plot ${props.isFlat ? 'is-flat' : ''}`}>
      <figcaption>
        <h3>{props.title}</h3>
        {props.legend && <PlotKey entries={props.legend} />}
      </figcaption>
      <div class="small-plot-area" ref={ref}>
        {plotWidth > 0 && plotHeight > 0 && (
          <svg width={width} height={height} role="img" aria-label={`${props.title}: ${props.says}`}>
            <clipPath id={clip}>
              <rect x={LEFT} y={TOP} width={plotWidth} height={plotHeight} />
            </clipPath>
            <Ticks x={x} y={y} height={height} isFlat={props.isFlat ?? false} />
            <g clip-path={`url(#${clip})`}>{props.children({ x, y })}</g>
            <path class="small-frame" d={`M${LEFT} ${TOP}V${height - BOTTOM}H${width - RIGHT}`} />
            <text class="small-label" x={(LEFT + width - RIGHT) / 2} y={height - 3} text-anchor="middle">
              {props.x.label}
            </text>
            <text
              class="small-label"
              text-anchor="middle"
              transform={`translate(11 ${TOP + plotHeight / 2}) rotate(-90)`}
            >
              {props.y.label}
            </text>
          </svg>
        )}
      </div>
      <p class="small-says">{props.says}</p>
    </figure>
  );
}

function axis({ kind, range }: PlotAxis, from: number, to: number): Scale {
  return { kind, min: range[0], max: range[1], from, to };
}

function Ticks(props: PlotScales & { readonly height: number; readonly isFlat: boolean }) {
  const { x, y, height } = props;
  const across = ticksOf(x, Math.max(2, Math.abs(x.to - x.from) / 44));
  const up = props.isFlat ? [] : ticksOf(y, Math.max(2, Math.abs(y.to - y.from) / 24));
  return (
    <g class="small-ticks">
      {across.map(({ at, text }) => (
        <g key={text} transform={`translate(${place(x, at).toFixed(1)} 0)`}>
          <path d={`M0 ${TOP}V${height - BOTTOM}`} />
          <text y={height - BOTTOM + 13} text-anchor="middle">
            {text}
          </text>
        </g>
      ))}
      {up.map(({ at, text }) => (
        <g key={text} transform={`translate(0 ${place(y, at).toFixed(1)})`}>
          <path d={`M${LEFT} 0H${x.to}`} />
          <text x={LEFT - 5} y="4" text-anchor="end">
            {text}
          </text>
        </g>
      ))}
    </g>
  );
}

function PlotKey({ entries }: { readonly entries: readonly KeyEntry[] }) {
  return (
    <span class="small-key">
      {entries.map(({ name, line }) => (
        <span key={name}>
          <KeyMark width={18} height={8}>
            <path class={`small-line ${line}`} d="M-9 0H9" />
          </KeyMark>
          {name}
        </span>
      ))}
    </span>
  );
}
