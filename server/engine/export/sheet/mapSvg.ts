import type { SettingMap, SettingMargin } from '../../kept/keptSetting.ts';
import { roundValues } from '../../statistics/roundValues.ts';
import { outlinePath } from '../../sweep/outline.ts';
import { figure } from '../../words/count.ts';
import { escapeHtml } from './escapeHtml.ts';
import type { MapFacts } from './mapFacts.ts';
import { shadesOf } from './shades.ts';

/** In units of the picture, of which the page shows about one a CSS pixel. */
const WIDTH = 340;
const HEIGHT = 172;
const PLOT = { left: 40, right: 332, top: 6, bottom: 138 };

interface Scales {
  x(value: number): number;
  y(value: number): number;
}

/**
 * A map as SVG that stands alone: how much goes wrong in shades that also a black-and-white print tells apart, the best
 * region outlined, the setting with its margins, and what the program would choose instead.
 */
export function mapSvg(facts: MapFacts, label: string): string {
  const { map, xLabel, yLabel } = facts;
  const [xEnds, yEnds] = [endsOf(map.xs), endsOf(map.ys)];
  const scales: Scales = {
    x: (value) => between(PLOT.left, PLOT.right, (value - xEnds[0]) / (xEnds[1] - xEnds[0])),
    y: (value) => between(PLOT.bottom, PLOT.top, (value - yEnds[0]) / (yEnds[1] - yEnds[0])),
  };
  return [
    `<svg class="map" viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-label="${escapeHtml(label)}">`,
    cells(map),
    plateau(map),
    marks(facts, scales, [xEnds, yEnds]),
    axes(xLabel, yLabel, scales, [xEnds, yEnds]),
    '</svg>',
  ].join('');
}

/** Whether the setting's point lies on the map. */
export function isOnMap({ map, point }: MapFacts): boolean {
  return isWithin(endsOf(map.xs), point.x) && isWithin(endsOf(map.ys), point.y);
}

/** One path a shade, of rectangles as high as the cells of one column that have it without a break. */
function cells({ xs, ys, wrong }: SettingMap): string {
  const shades = shadesOf(wrong);
  const [left, bottom] = [edges(PLOT.left, PLOT.right, xs.length), edges(PLOT.bottom, PLOT.top, ys.length)];
  const paths = shades.map(() => '');
  for (let i = 0; i < xs.length; ++i) {
    let from = 0;
    for (let j = 1; j <= ys.length; ++j) {
      const shade = placeOf(shades, wrong[i * ys.length + from]!);
      if (j < ys.length && placeOf(shades, wrong[i * ys.length + j]!) === shade) continue;
      const [x0, x1, y0, y1] = [left(i), left(i + 1), bottom(from), bottom(j)];
      paths[shade] += `M${x0} ${y0}H${x1}V${y1}H${x0}Z`;
      from = j;
    }
  }
  const drawn = paths.map((d, k) => (d === '' ? '' : `<path fill="${shades[k]!.fill}" d="${d}"/>`)).join('');
  return `<g shape-rendering="crispEdges">${drawn}</g>`;
}

function placeOf(shades: ReturnType<typeof shadesOf>, wrong: number | null): number {
  return shades.findIndex((shade) => shade.holds(wrong));
}

function plateau({ xs, ys, plateau: region }: SettingMap): string {
  if (region.length === 0) return '';
  const [x, y] = [edges(PLOT.left, PLOT.right, xs.length), edges(PLOT.bottom, PLOT.top, ys.length)];
  const d = outlinePath(region, ys.length, x, y);
  return d === '' ? '' : `<path class="halo" d="${d}"/><path class="plateau" d="${d}"/>`;
}

type Ends = readonly [number, number];

function marks(facts: MapFacts, scales: Scales, [xEnds, yEnds]: readonly [Ends, Ends]): string {
  const { point, margins, suggested } = facts;
  const parts: string[] = [];
  if (suggested !== null && isWithin(xEnds, suggested.x) && isWithin(yEnds, suggested.y)) {
    const [x, y] = [scales.x(suggested.x), scales.y(suggested.y)];
    parts.push(`<path class="other" d="${diamond(x, y)}"/>`);
  }
  if (!isOnMap(facts)) return parts.join('');
  const [x, y] = [scales.x(point.x), scales.y(point.y)];
  if (margins !== null) {
    const along = marginLine(margins.x, xEnds, scales.x);
    const up = marginLine(margins.y, yEnds, scales.y);
    const horizontal = `M${along.from} ${round(y)}H${along.to}${along.ends.map((at) => `M${at} ${round(y - 4)}V${round(y + 4)}`).join('')}`;
    const vertical = `M${round(x)} ${up.from}V${up.to}${up.ends.map((at) => `M${round(x - 4)} ${at}H${round(x + 4)}`).join('')}`;
    const d = `${horizontal}${vertical}`;
    parts.push(`<path class="halo" d="${d}"/><path class="margin" d="${d}"/>`);
  }
  parts.push(`<circle class="point" cx="${round(x)}" cy="${round(y)}" r="4.5"/>`);
  return parts.join('');
}

/** From the least to the largest value that does no worse, within the map; a bar only where more is known to go wrong. */
function marginLine(
  { low, high, worseBelow, worseAbove }: SettingMargin,
  ends: Ends,
  scale: (value: number) => number,
) {
  const [from, to] = [Math.max(low, ends[0]), Math.min(high, ends[1])].map((value) => round(scale(value)));
  return {
    from: from!,
    to: to!,
    ends: [
      ...(worseBelow !== null && low >= ends[0] ? [from!] : []),
      ...(worseAbove !== null && high <= ends[1] ? [to!] : []),
    ],
  };
}

function diamond(x: number, y: number): string {
  return `M${round(x)} ${round(y - 6)}L${round(x + 6)} ${round(y)}L${round(x)} ${round(y + 6)}L${round(x - 6)} ${round(y)}Z`;
}

function axes(
  xLabel: string,
  yLabel: string,
  { x, y }: Scales,
  [xEnds, yEnds]: readonly [Ends, Ends],
): string {
  const { left, right, top, bottom } = PLOT;
  const xTicks = roundValues(xEnds[0], xEnds[1], 6).map((at) => {
    const px = round(x(at));
    return `<path class="axis" d="M${px} ${bottom}v4"/><text x="${px}" y="${bottom + 14}" text-anchor="middle">${figure(at)}</text>`;
  });
  const yTicks = roundValues(yEnds[0], yEnds[1], 5).map((at) => {
    const py = round(y(at));
    return `<path class="axis" d="M${left} ${py}h-4"/><text x="${left - 6}" y="${round(py + 3.5)}" text-anchor="end">${figure(at)}</text>`;
  });
  const middle = (top + bottom) / 2;
  return [
    `<path class="axis" d="M${left} ${top}H${right}V${bottom}H${left}Z"/>`,
    ...xTicks,
    ...yTicks,
    `<text x="${(left + right) / 2}" y="${HEIGHT - 4}" text-anchor="middle">${escapeHtml(xLabel)}</text>`,
    `<text transform="translate(10 ${middle}) rotate(-90)" text-anchor="middle">${escapeHtml(yLabel)}</text>`,
  ].join('');
}

/** Half a step beyond the values at either end. */
function endsOf(values: readonly number[]): Ends {
  const last = values.length - 1;
  const half = (values[last]! - values[0]!) / last / 2;
  return [values[0]! - half, values[last]! + half];
}

function isWithin([low, high]: Ends, value: number): boolean {
  return value >= low && value <= high;
}

function edges(from: number, to: number, count: number): (k: number) => number {
  return (k) => round(between(from, to, k / count));
}

function between(from: number, to: number, part: number): number {
  return from + part * (to - from);
}

function round(value: number): number {
  return Math.round(value * 10) / 10;
}
