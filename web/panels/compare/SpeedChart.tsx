import { stepsOf } from '../../../server/engine/compare/distribution.ts';
import { quantileSorted } from '../../../server/engine/statistics/sorted.ts';
import { roundStep } from '../../charts/stave.ts';
import { useSize } from '../useSize.ts';
import { isOfB, lineName, type SpeedLine } from './speedLines.ts';
import { tagRows } from './tagRows.ts';

export interface SpeedSeries {
  readonly name: string;
  /** Rising. */
  readonly peaksDps: Float64Array;
}

/** Lines tell one another apart by their dashes and by the mark at their middle; more series than that are drawn alike. */
export const STYLES = ['solid', 'dashed', 'dotted', 'dashdot', 'sparse'] as const;

const LEFT = 46;
const RIGHT = 22;
/** Each threshold has a row of its own for its name, above the plot. */
const TAG_ROW = 14;
const PLOT_HEIGHT = 182;
const BOTTOM = 34;

/** Of each series the part of its swings at or below a peak speed, with the candidates' thresholds drawn across. */
export function SpeedChart(props: {
  readonly series: readonly SpeedSeries[];
  readonly lines: readonly SpeedLine[];
  readonly chosen: string | null;
}) {
  const { ref, width } = useSize();
  const fastest = Math.max(
    100,
    ...props.series.map(({ peaksDps }) => peaksDps.at(-1) ?? 0),
    ...props.lines.map(({ speedDps }) => speedDps),
  );
  const step = roundStep(fastest / 8);
  const top = Math.ceil((fastest * 1.02) / step) * step;
  const tags = tagRows(props.lines, top * 0.8);
  const plotTop = 6 + TAG_ROW * tags.length;
  const height = plotTop + PLOT_HEIGHT + BOTTOM;
  const x = (dps: number) => LEFT + (dps / top) * (width - LEFT - RIGHT);
  const y = (share: number) => plotTop + (1 - share) * PLOT_HEIGHT;
  return (
    <div class="speed-chart" ref={ref}>
      {width > 0 && (
        <svg
          width={width}
          height={height}
          role="img"
          aria-label="Swing speeds: part of the swings at or below each peak speed"
        >
          <Axes top={top} step={step} x={x} y={y} width={width} height={height} />
          {tags.map(({ line, isRight }, row) => (
            <Across
              key={`${line.kind} ${line.slots.join()}`}
              line={line}
              x={x(line.speedDps)}
              nameY={12 + TAG_ROW * row}
              foot={height - BOTTOM}
              isRight={isRight}
            />
          ))}
          {props.series.map((one, i) => (
            <SeriesPath
              key={one.name}
              series={one}
              style={styleOf(i, props.series.length)}
              number={numberOf(i, props.series.length)}
              isChosen={props.chosen === one.name}
              x={x}
              y={y}
            />
          ))}
        </svg>
      )}
    </div>
  );
}

/** How series `i` of `count` is drawn. */
export function styleOf(i: number, count: number): (typeof STYLES)[number] | 'faint' {
  return count > STYLES.length ? 'faint' : STYLES[i]!;
}

/** Lines that are drawn alike carry the number of their row; where they are too many, only the chosen one stands out. */
export function numberOf(i: number, count: number): number | null {
  return styleOf(i, count) === 'faint' && count <= MOST_NUMBERED ? i + 1 : null;
}

const MOST_NUMBERED = 24;

interface Scales {
  x(dps: number): number;
  y(share: number): number;
}

function Axes({
  top,
  step,
  x,
  y,
  width,
  height,
}: Scales & {
  readonly top: number;
  readonly step: number;
  readonly width: number;
  readonly height: number;
}) {
  const speeds = Array.from({ length: Math.round(top / step) + 1 }, (_, i) => i * step);
  return (
    <g class="chart-axes">
      {speeds.map((dps) => (
        <g key={dps}>
          <path class="grid" d={`M${x(dps)} ${y(0)}V${y(1)}`} />
          <text x={x(dps)} y={y(0) + 15} text-anchor="middle">
            {dps}
          </text>
        </g>
      ))}
      {[0, 0.25, 0.5, 0.75, 1].map((share) => (
        <g key={share}>
          <path class="grid" d={`M${x(0)} ${y(share)}H${x(top)}`} />
          <text x={LEFT - 6} y={y(share) + 4} text-anchor="end">
            {100 * share} %
          </text>
        </g>
      ))}
      <text x={width - RIGHT} y={height - 4} text-anchor="end">
        peak speed of a swing, °/s
      </text>
    </g>
  );
}

/** A threshold with its name. */
function Across({
  line,
  x,
  nameY,
  foot,
  isRight,
}: {
  readonly line: SpeedLine;
  readonly x: number;
  readonly nameY: number;
  readonly foot: number;
  readonly isRight: boolean;
}) {
  return (
    <g
      class={`across across-${line.kind} ${isOfB(line) ? 'is-b' : ''}`}
      data-across={`${line.kind} ${line.slots.join(' ')}`}
    >
      <path d={`M${x} ${nameY - 8}V${foot}`} />
      <text x={x + (isRight ? 4 : -4)} y={nameY} text-anchor={isRight ? 'start' : 'end'}>
        {lineName(line)} {line.speedDps}
      </text>
    </g>
  );
}

function SeriesPath(
  props: Scales & {
    readonly series: SpeedSeries;
    readonly style: string;
    readonly number: number | null;
    readonly isChosen: boolean;
  },
) {
  const { series, x, y } = props;
  const steps = stepsOf(series.peaksDps);
  let path = '';
  steps.x.forEach((dps, i) => {
    path +=
      i === 0
        ? `M${x(dps).toFixed(1)} ${y(0)}V${y(steps.share[i]!).toFixed(1)}`
        : `H${x(dps).toFixed(1)}V${y(steps.share[i]!).toFixed(1)}`;
  });
  return (
    <g>
      <path class={`speed-series is-${props.style} ${props.isChosen ? 'is-chosen' : ''}`} d={path}>
        <title>{`${series.name}: ${series.peaksDps.length} swings`}</title>
      </path>
      {props.number !== null && (
        <text
          class="series-number"
          x={x(quantileSorted(series.peaksDps, 0.5))}
          y={y(0.5) + numberShift(props.number)}
          text-anchor="middle"
        >
          {props.number}
        </text>
      )}
    </g>
  );
}

/** Neighbours stand at three heights, so that they do not cover each other. */
function numberShift(number: number): number {
  return 4 + 16 * ((number % 3) - 1);
}
