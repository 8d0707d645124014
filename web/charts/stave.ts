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
  private readonly traces: readonly TraceStyle[];
  private data: ViewData = { seconds: new Float64Array(0), channels: [], isDense: false };

  constructor(host: HTMLElement, options: StaveOptions) {
    this.traces = options.traces;
    this.plot = new uPlot(this.options(options), [[], ...options.traces.map(() => [])], host);
  }

  /** Paints data over a window with a vertical range, at the host's present size. */
  paint(data: ViewData, window: TimeWindow, range: readonly [number, number]): void {
    this.window = window;
    this.range = range;
    this.data = data;
    const { plot } = this;
    const lines = data.channels.map((channel, k) => (this.isBars(k) ? channel : nullForNaN(channel)));
    plot.batch(() => {
      plot.setData([data.seconds, ...lines], false);
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

  /** Whether a trace is painted here, as bars, and not by uPlot, as a line. */
  private isBars(place: number): boolean {
    return this.data.isDense && isSolid(this.traces[place]!);
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
        ...traces.map((trace, place) => ({
          ...seriesOf(trace),
          paths: (u: uPlot, i: number, from: number, to: number) =>
            this.isBars(place) ? null : LINEAR(u, i, from, to),
        })),
      ],
      hooks: {
        drawSeries: [
          (u: uPlot, i: number) => {
            const place = i - 1;
            if (this.data.channels[place] && this.isBars(place))
              paintColumns(u, this.data.seconds, this.data.channels[place], traces[place]!);
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

/** uPlot breaks a line where a value is null. */
function nullForNaN(channel: Float64Array): (number | null)[] {
  return Array.from(channel, (value) => (Number.isFinite(value) ? value : null));
}

/**
 * Paints a channel of pairs, lowest and highest, as a bar a column, each long enough to touch the one before: a line through
 * them would fill the same pixels, and takes many times as long to paint.
 */
function paintColumns(
  u: uPlot,
  seconds: Float64Array,
  values: Float64Array,
  { colour, fill }: TraceStyle,
): void {
  const { ctx, bbox } = u;
  const bars = barsOf(seconds, values, linear(u, 'x'), linear(u, 'y'));
  ctx.save();
  ctx.beginPath();
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
  ctx.clip();
  if (fill) {
    ctx.fillStyle = fill;
    const zero = linear(u, 'y').at0;
    for (let k = 0; k < bars.length; k += BAR_FIELDS) {
      const [top, bottom] = [bars[k + 2]!, bars[k + 3]!];
      // Where the bar comes down to zero it hides what would be filled.
      if (bottom < zero - 1) ctx.fillRect(bars[k]!, top, bars[k + 1]!, zero - top);
    }
  }
  ctx.fillStyle = colour;
  for (let k = 0; k < bars.length; k += BAR_FIELDS) {
    const top = bars[k + 2]!;
    ctx.fillRect(bars[k]!, top, bars[k + 1]!, Math.max(LEAST_BAR_PX, bars[k + 3]! - top));
  }
  ctx.restore();
}

/** Left, width, top and bottom. */
const BAR_FIELDS = 4;

/** One after the other, `BAR_FIELDS` numbers each. */
function barsOf(seconds: Float64Array, values: Float64Array, x: Line, y: Line): Float64Array {
  const bars = new Float64Array(BAR_FIELDS * Math.ceil(values.length / 2));
  let at = 0;
  let isFirst = true;
  let topBefore = 0;
  let bottomBefore = 0;
  let wide = 1;
  for (let k = 0; k < values.length; ) {
    const one = values[k]!;
    const other = values[k + 1]!;
    // The last place of a gap has no second number either.
    if (!(one <= other)) {
      isFirst = true;
      ++k;
      continue;
    }
    const left = Math.round(x.at0 + x.perUnit * seconds[k]!);
    if (k + 2 < seconds.length) wide = Math.max(1, Math.round(x.at0 + x.perUnit * seconds[k + 2]!) - left);
    const ownTop = y.at0 + y.perUnit * other;
    const ownBottom = y.at0 + y.perUnit * one;
    bars[at] = left;
    bars[at + 1] = wide;
    bars[at + 2] = isFirst ? ownTop : Math.min(ownTop, bottomBefore);
    bars[at + 3] = isFirst ? ownBottom : Math.max(ownBottom, topBefore);
    at += BAR_FIELDS;
    isFirst = false;
    topBefore = ownTop;
    bottomBefore = ownBottom;
    k += 2;
  }
  return bars.subarray(0, at);
}

/** A scale of a plot in canvas pixels. */
interface Line {
  readonly at0: number;
  readonly perUnit: number;
}

/** What `valToPos` says, without asking it for each of thousands of points. */
function linear(u: uPlot, scale: 'x' | 'y'): Line {
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
