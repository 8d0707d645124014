import type { DipPicture } from '../../../server/engine/explain/dip.ts';
import { fixed } from '../../../server/engine/words/count.ts';
import { linePath, type PlotArea, type Point, scaleOf } from '../../charts/scale.ts';
import { PressMark } from '../PressMark.tsx';

const WIDTH = 220;
const HEIGHT = 104;
/** Room above for the guard's speed, below for the hold. */
const [TOP, FOOT] = [14, 18];

/**
 * The dip in which a press was let through: the speed falls below the guard's, the press comes, the hold has ended before
 * it. The hold that would have reached it is drawn hollow.
 */
export function DipSketch(props: {
  readonly picture: DipPicture;
  readonly guardDps: number;
  readonly holdMs: number;
  /** null where none is to be named. */
  readonly neededMs: number | null;
  readonly says: string;
}) {
  const { picture, guardDps, holdMs, neededMs, says } = props;
  const { timesUs, speedsDps, startUs, endUs, fromUs, untilUs, atUs, speedDps } = picture;
  const top = 1.05 * Math.max(guardDps * 1.3, ...speedsDps.filter((speed) => !Number.isNaN(speed)));
  const x = scaleOf('linear', [startUs, endUs], 0, WIDTH);
  const y = scaleOf('linear', [0, top], HEIGHT - FOOT, TOP);
  const area: PlotArea = { width: WIDTH, height: HEIGHT, x, y };
  const points = timesUs.map((us, i): Point => [us, speedsDps[i]!]);
  const [left, right] = [x(fromUs ?? startUs), x(untilUs ?? endUs)];
  const ends = (ms: number) => Math.min(WIDTH, x(fromUs! + ms * 1000));
  return (
    <svg class="dip-sketch" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="img" aria-label={says}>
      <rect class="dip-ground" x={left} width={right - left} y={y(guardDps)} height={y(0) - y(guardDps)} />
      <path class="sketch-guard" d={`M0 ${y(guardDps)}H${WIDTH}`} />
      <path class="sketch-speed" d={linePath(area, points)} />
      <path class="sketch-foot" d={`M0 ${y(0)}H${WIDTH}`} />
      {fromUs !== null && neededMs !== null && (
        <rect class="sketch-needed" x={left} width={ends(neededMs) - left} y={y(0) + 6} height={7} />
      )}
      {fromUs !== null && holdMs > 0 && (
        <rect class="sketch-hold" x={left} width={ends(holdMs) - left} y={y(0) + 6} height={7} />
      )}
      <path class="dip-lead" d={`M${x(atUs)} ${y(speedDps)}V${HEIGHT - 3}`} />
      <g transform={`translate(${x(atUs)} ${y(Math.min(speedDps, top))})`}>
        <PressMark fate="strayLetThrough" />
      </g>
      {fromUs !== null && untilUs !== null && (
        <text class="sketch-width" x={(left + right) / 2} y={y(guardDps) - 4} text-anchor="middle">
          {fixed((untilUs - fromUs) / 1000, 0)} ms
        </text>
      )}
    </svg>
  );
}
