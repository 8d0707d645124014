import type { LightState } from '../../replay/light.ts';
import { FIRST_VIEW, GROUND, Projection, type View } from '../../replay/projection.ts';
import type { StillBlade } from '../../replay/still.ts';
import { escapeHtml } from './escapeHtml.ts';

/** Width and height, in units of the picture. */
const SIZE = 180;
const GUARD = '#00735c';
const INK = '#1d2733';
const LIGHT = '#f0a04b';

type Still = StillBlade & {
  readonly light: LightState;
  /** Read out in place of the picture; no markup. */
  readonly label: string;
  readonly view?: View;
};

/**
 * The blade at a moment with the trail of its tip, as an SVG that stands alone and also prints in black and white: the
 * trail is wide where the guard is closed and dashed where it is open, a lit blade is filled and a dark one hollow.
 */
export function stillSvg({ tip, trail, light, label, view = FIRST_VIEW }: Still): string {
  const projection = new Projection(view, SIZE, SIZE);
  const hand = at(projection, 0, 0, 0);
  const point = at(projection, tip[0]!, tip[1]!, tip[2]!);
  return [
    `<svg class="still" viewBox="0 0 ${SIZE} ${SIZE}" role="img" aria-label="${escapeHtml(label)}" fill="none" stroke-linecap="round">`,
    `<path stroke="${INK}" stroke-opacity="0.2" d="${ground(projection)}"/>`,
    ...trail.map((run) => trailPath(run, projection)),
    ...blade(`M${hand}L${point}`, light),
    `<circle cx="${hand.split(' ')[0]}" cy="${hand.split(' ')[1]}" r="4" fill="${INK}"/>`,
    '</svg>',
  ].join('');
}

function trailPath({ isClosed, points }: StillBlade['trail'][number], projection: Projection): string {
  let d = '';
  for (let k = 0; k < points.length; k += 3)
    d += `${k === 0 ? 'M' : 'L'}${at(projection, points[k]!, points[k + 1]!, points[k + 2]!)}`;
  return isClosed
    ? `<path class="closed" stroke="${GUARD}" stroke-width="3" d="${d}"/>`
    : `<path class="open" stroke="${INK}" stroke-width="1.2" stroke-dasharray="3 3" d="${d}"/>`;
}

function blade(d: string, light: LightState): string[] {
  const edge = `<path stroke="${INK}" stroke-width="7" d="${d}"/>`;
  if (light === 'unknown')
    return [`<path stroke="${INK}" stroke-width="3" stroke-dasharray="1 5" d="${d}"/>`];
  return [edge, `<path stroke="${light === 'lit' ? LIGHT : '#fffdf8'}" stroke-width="4.5" d="${d}"/>`];
}

/** A circle on the ground as wide as the blade reaches, with the line from the hand down to its middle. */
function ground(projection: Projection): string {
  const points = Array.from({ length: 37 }, (_, k) => {
    const angle = (k * Math.PI) / 18;
    return at(projection, Math.cos(angle), Math.sin(angle), GROUND);
  });
  return `M${points.join('L')}M${at(projection, 0, 0, 0)}L${at(projection, 0, 0, GROUND)}`;
}

function at(projection: Projection, x: number, y: number, z: number): string {
  const { x: px, y: py } = projection.place(x, y, z);
  return `${Math.round(px * 10) / 10} ${Math.round(py * 10) / 10}`;
}
