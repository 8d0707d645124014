import { shareBelow, stepsOf } from '../../../server/engine/compare/distribution.ts';
import { roundStep, roundValues } from '../../../server/engine/statistics/roundValues.ts';
import { quantileSorted } from '../../../server/engine/statistics/sorted.ts';
import { percent, percentRange } from '../../../server/engine/words/count.ts';
import type { PlotArea } from '../../charts/scale.ts';
import { stepPath } from '../../charts/scale.ts';
import { PlotFrame } from '../plot/PlotFrame.tsx';
import { curvePlaces, useReadout } from '../plot/readout.ts';
import { isOfB, lineName, type SpeedLine } from './speedLines.ts';
import { tagRows } from './tagRows.ts';

export interface SpeedSeries {
  readonly name: string;
  /** Rising. */
  readonly peaksDps: Float64Array;
}

/** Lines tell one another apart by their dashes and by the mark at their middle; more series than that are drawn alike. */
const STYLES = ['solid', 'dashed', 'dotted', 'dashdot', 'sparse'] as const;

/** Each threshold has a row of its own for its name, above the plot. */
const TAG_ROW = 14;
/** The plot with its margins. */
const HEIGHT = 222;
/** Steps along x from one arrow key to the next. */
const READ_STEPS = 240;

const SHARES = [0, 0.25, 0.5, 0.75, 1].map((at) => ({ at, text: `${100 * at} %` }));

/** The share of each series' swings at or below a peak speed, with the candidates' thresholds drawn across. */
export function SpeedChart(props: {
  readonly series: readonly SpeedSeries[];
  readonly lines: readonly SpeedLine[];
  readonly chosen: string | null;
}) {
  const { series, lines } = props;
  const fastest = Math.max(
    100,
    ...series.map(({ peaksDps }) => peaksDps.at(-1) ?? 0),
    ...lines.map(({ speedDps }) => speedDps),
  );
  const step = roundStep(fastest / 8);
  const top = Math.ceil((fastest * 1.02) / step) * step;
  const tags = tagRows(lines, top * 0.8);
  const above = TAG_ROW * tags.length;
  const speeds = Array.from({ length: READ_STEPS + 1 }, (_, i) => (i * top) / READ_STEPS);
  const readout = useReadout(curvePlaces(speeds), (k) => readText(series, speeds[k] ?? top));
  return (
    <div class="speed-chart" style={{ height: `${HEIGHT + above}px` }}>
      <PlotFrame
        x={{
          range: [0, top],
          label: 'peak speed of a swing, °/s',
          ticks: roundValues(0, top, top / step).map((at) => ({ at, text: String(at) })),
        }}
        y={{ range: [0, 1], label: '', ticks: SHARES }}
        label="Swing speeds: part of the swings at or below each peak speed"
        above={above}
        readout={readout}
        isSmall
      >
        {(area) => (
          <>
            {tags.map(({ line, isRight }, row) => (
              <Across
                key={`${line.kind} ${line.slots.join()}`}
                line={line}
                area={area}
                nameY={TAG_ROW * row + 4 - above}
                isRight={isRight}
              />
            ))}
            {series.map((one, i) => (
              <SeriesPath
                key={one.name}
                series={one}
                style={styleOf(i, series.length)}
                number={numberOf(i, series.length)}
                isChosen={props.chosen === one.name}
                area={area}
              />
            ))}
          </>
        )}
      </PlotFrame>
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

/** The part of each series below a speed; the least and the largest part where they are many. */
function readText(series: readonly SpeedSeries[], speedDps: number): string {
  const parts = series.map(({ name, peaksDps }) => ({
    name,
    share: shareBelow(peaksDps, speedDps) ?? 0,
  }));
  const shares = parts.map(({ share }) => share);
  const words =
    parts.length <= STYLES.length
      ? parts.map(({ name, share }) => `${name} ${percent(share, 0)}`).join(', ')
      : percentRange({ low: Math.min(...shares), high: Math.max(...shares) }, ' to ');
  return `below ${Math.round(speedDps)} °/s: ${words}`;
}

/** A threshold with its name. */
function Across(props: {
  readonly line: SpeedLine;
  readonly area: PlotArea;
  readonly nameY: number;
  readonly isRight: boolean;
}) {
  const { line, area, nameY, isRight } = props;
  const x = area.x(line.speedDps);
  return (
    <g
      class={`across across-${line.kind} ${isOfB(line) ? 'is-b' : ''}`}
      data-across={`${line.kind} ${line.slots.join(' ')}`}
    >
      <path d={`M${x} ${nameY - 8}V${area.height}`} />
      <text x={x + (isRight ? 4 : -4)} y={nameY} text-anchor={isRight ? 'start' : 'end'}>
        {lineName(line)} {line.speedDps}
      </text>
    </g>
  );
}

function SeriesPath(props: {
  readonly series: SpeedSeries;
  readonly style: string;
  readonly number: number | null;
  readonly isChosen: boolean;
  readonly area: PlotArea;
}) {
  const { series, area } = props;
  const { x, share } = stepsOf(series.peaksDps);
  const path = stepPath(area, [[x[0]!, 0], ...[...x].map((dps, i) => [dps, share[i]!] as const)]);
  return (
    <g>
      <path class={`curve is-${props.style} ${props.isChosen ? 'is-chosen' : ''}`} d={path} />
      {props.number !== null && (
        <text
          class="series-number"
          x={area.x(quantileSorted(series.peaksDps, 0.5))}
          y={area.y(0.5) + numberShift(props.number)}
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
