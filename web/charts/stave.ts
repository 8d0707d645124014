import uPlot from 'uplot';
import { roundValues } from '../../server/engine/statistics/roundValues.ts';
import type { TimeWindow } from '../state/model.ts';
import { AXIS_HEIGHT, GUTTER_LEFT, GUTTER_RIGHT, PLOT_TOP } from './geometry.ts';
import type { Palette } from './palette.ts';
import type { ViewData } from './viewData.ts';

/** One line of a stave. */
export interface TraceStyle {
  readonly colour: string;
  readonly isDashed?: boolean;
  readonly fill?: string;
  readonly width?: number;
}

/** A second scale on the right, in proportion to the first: tip speed beside swing speed. */
export interface RightAxis {
  readonly perUnit: number;
  format(value: number): string;
}

interface StaveOptions {
  readonly traces: readonly TraceStyle[];
  readonly palette: Palette;
  readonly hasTimeAxis: boolean;
  readonly rightAxis: RightAxis | null;
  format(value: number): string;
}

/** A painted stave. It keeps no view of its own: window and range come from outside, the pointer is handled outside. */
export class Stave {
  private readonly plot: uPlot;
  private window: TimeWindow = { startUs: 0, endUs: 1 };
  private range: readonly [number, number] = [0, 1];
  private isDense = false;

  constructor(host: HTMLElement, options: StaveOptions) {
    this.plot = new uPlot(this.options(options), [[], ...options.traces.map(() => [])], host);
  }

  /** Paints data over a window with a vertical range, at the host's present size. */
  paint(data: ViewData, window: TimeWindow, range: readonly [number, number]): void {
    this.window = window;
    this.range = range;
    this.isDense = data.isDense;
    const { plot } = this;
    plot.batch(() => {
      plot.setData([data.seconds, ...data.channels] as uPlot.AlignedData, false);
      plot.setScale('x', { min: window.startUs / 1e6, max: window.endUs / 1e6 });
      plot.setScale('y', { min: range[0], max: range[1] });
    });
  }

  resize(width: number, height: number): void {
    this.plot.setSize({ width, height });
  }

  destroy(): void {
    this.plot.destroy();
  }

  private options({ traces, palette, hasTimeAxis, rightAxis, format }: StaveOptions): uPlot.Options {
    const axis = {
      stroke: palette.quiet,
      grid: { stroke: palette.grid, width: 1 },
      ticks: { show: false },
      font: FONT,
    };
    return {
      // Its host's size comes with `resize`: to ask for it here would have the page laid out at once.
      width: FIRST_PX,
      height: FIRST_PX,
      padding: [PLOT_TOP, rightAxis ? 0 : GUTTER_RIGHT, hasTimeAxis ? 0 : 2, 0],
      legend: { show: false },
      cursor: { show: false },
      scales: {
        x: { time: false, auto: false, range: () => [this.window.startUs / 1e6, this.window.endUs / 1e6] },
        y: { auto: false, range: () => [this.range[0], this.range[1]] },
      },
      axes: [
        {
          ...axis,
          size: hasTimeAxis ? AXIS_HEIGHT : 0,
          gap: 4,
          space: 70,
          incrs: TIME_STEPS_S,
          values: (_u, splits) => (hasTimeAxis ? splits.map(clock(splits)) : splits.map(() => '')),
        },
        {
          ...axis,
          size: GUTTER_LEFT,
          gap: 6,
          space: (_u, _axis, _min, _max, heightPx) => (heightPx > TALL_PX ? 36 : 20),
          values: (u, splits) =>
            splits.map((value) => (hasTimeAxis || hasRoom(u, value) ? format(value) : '')),
        },
        ...(rightAxis ? [rightScale(axis, rightAxis)] : []),
      ],
      series: [
        {},
        ...traces.map((trace) => ({
          ...seriesOf(trace),
          paths: (u: uPlot, i: number, from: number, to: number) =>
            this.isDense && isSolid(trace) ? null : LINEAR(u, i, from, to),
        })),
      ],
      hooks: {
        drawSeries: [
          (u: uPlot, i: number) => {
            const trace = traces[i - 1];
            if (trace && this.isDense && isSolid(trace)) paintColumns(u, i, trace);
          },
        ],
      },
    };
  }
}

const LINEAR = uPlot.paths.linear!();

/** A fine or dashed trace lies over another one, which a column of it would hide. */
function isSolid({ isDashed, width }: TraceStyle): boolean {
  return !isDashed && width === undefined;
}

/**
 * Paints a channel of pairs, lowest and highest, as a bar a column, each long enough to touch the one before: a line through
 * them would fill the same pixels, and takes many times as long to paint.
 */
function paintColumns(u: uPlot, series: number, { colour, fill }: TraceStyle): void {
  const { ctx, bbox } = u;
  const seconds = u.data[0];
  const values = u.data[series]!;
  const x = linear(u, 'x');
  const y = linear(u, 'y');
  const zero = y.at0;
  ctx.save();
  ctx.beginPath();
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
  ctx.clip();
  let isFirst = true;
  let [topBefore, bottomBefore] = [0, 0];
  let wide = 1;
  for (let k = 0; k < values.length; ) {
    const [one, other] = [values[k], values[k + 1]];
    if (one == null || other == null) {
      isFirst = true;
      ++k;
      continue;
    }
    const left = Math.round(x.at0 + x.perUnit * seconds[k]!);
    const next = seconds[k + 2];
    if (next !== undefined) wide = Math.max(1, Math.round(x.at0 + x.perUnit * next) - left);
    const [low, high] = [y.at0 + y.perUnit * one, y.at0 + y.perUnit * other];
    const [ownTop, ownBottom] = low < high ? [low, high] : [high, low];
    const top = isFirst ? ownTop : Math.min(ownTop, bottomBefore);
    const bottom = isFirst ? ownBottom : Math.max(ownBottom, topBefore);
    // Where the bar comes down to zero it hides what would be filled.
    if (fill && Math.max(top, bottom) < zero - 1) {
      ctx.fillStyle = fill;
      ctx.fillRect(left, Math.min(top, zero), wide, Math.abs(zero - top));
    }
    ctx.fillStyle = colour;
    ctx.fillRect(left, top, wide, Math.max(LEAST_BAR_PX, bottom - top));
    isFirst = false;
    [topBefore, bottomBefore] = [ownTop, ownBottom];
    k += 2;
  }
  ctx.restore();
}

/** A scale of a plot as a line in canvas pixels: what `valToPos` says, without asking it for each of thousands of points. */
function linear(u: uPlot, scale: 'x' | 'y'): { readonly at0: number; readonly perUnit: number } {
  const at0 = u.valToPos(0, scale, true);
  const { min, max } = u.scales[scale]!;
  const span = max! - min!;
  return { at0, perUnit: (u.valToPos(max!, scale, true) - u.valToPos(min!, scale, true)) / span };
}

const LEAST_BAR_PX = 1.25;

const FIRST_PX = 100;

/** Between two numbers of the time axis: round in seconds, then in minutes and hours, as a clock is. */
const TIME_STEPS_S = [
  ...[0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30],
  ...[1, 2, 5, 10, 15, 30, 60, 120, 360, 720, 1440].map((minutes) => 60 * minutes),
];

/** Numbers of a taller axis stand further apart. */
const TALL_PX = 260;

const FONT = '11px system-ui, sans-serif';

/** Without a time axis below, a number at the very foot would be cut in half. */
function hasRoom(plot: uPlot, value: number): boolean {
  return plot.valToPos(value, 'y') <= plot.bbox.height / devicePixelRatio - 5;
}

function seriesOf(trace: TraceStyle): uPlot.Series {
  return {
    stroke: trace.colour,
    width: trace.width ?? 1.25,
    points: { show: false },
    spanGaps: false,
    ...(trace.isDashed ? { dash: [5, 4] } : {}),
    ...(trace.fill ? { fill: trace.fill, fillTo: 0 } : {}),
  };
}

/** Round values of the right-hand unit, placed where they belong on the left-hand scale. */
function rightScale(axis: uPlot.Axis, { perUnit, format }: RightAxis): uPlot.Axis {
  return {
    ...axis,
    scale: 'y',
    side: 1,
    size: GUTTER_RIGHT,
    gap: 6,
    grid: { show: false },
    splits: (_u, _axis, min, max) => {
      return roundValues(min * perUnit, max * perUnit, 4).map((value) => value / perUnit);
    },
    values: (_u, splits) => splits.map((value) => format(value * perUnit)),
  };
}

/** Seconds below a minute, minutes and seconds above; as many decimals as the step needs. */
function clock(splits: number[]): (seconds: number) => string {
  const step = splits.length > 1 ? splits[1]! - splits[0]! : 1;
  const decimals = [0, 1, 2].find((places) => isWhole(step * 10 ** places)) ?? 3;
  const isLong = splits.at(-1)! >= 60;
  return (seconds) => (isLong ? formatClock(seconds, decimals) : `${seconds.toFixed(decimals)} s`);
}

function isWhole(value: number): boolean {
  return Math.abs(value - Math.round(value)) < 1e-6;
}

/** A moment in microseconds as the time axis tells it there: seconds below a minute, minutes and seconds above. */
export function formatMoment(us: number, decimals: number): string {
  const seconds = us / 1e6;
  return seconds < 60 ? `${seconds.toFixed(decimals)} s` : formatClock(seconds, decimals);
}

export function formatClock(seconds: number, decimals: number): string {
  const scale = 10 ** decimals;
  const rounded = Math.round(seconds * scale) / scale;
  const minutes = Math.floor(rounded / 60);
  const rest = (rounded - minutes * 60).toFixed(decimals);
  return `${minutes}:${rest.padStart(decimals > 0 ? decimals + 3 : 2, '0')}`;
}
