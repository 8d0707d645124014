import { GESTURE_DETECTOR_IDS, type GestureDetectorId } from '../../../server/engine/detect/detectors.ts';
import type { Fate } from '../../state/fate.ts';
import { gestureLook } from '../detectorLooks.ts';
import type { Mark } from './scene.ts';
import type { StageColours } from './stageColours.ts';

/** Shapes as in the lanes, about the origin. */
const PRESS_SHAPES: Readonly<Record<Fate, string>> = {
  strayLetThrough: 'M0 -6.5L6.6 5.5H-6.6z',
  strayRefused: 'M-5 -5H5V5H-5z',
  wantedAccepted: 'M5.2 0A5.2 5.2 0 1 1 5.2 -0.01z',
  wantedRefused: 'M5.4 0A5.4 5.4 0 1 1 5.4 -0.01zM-3.8 -3.8L3.8 3.8M3.8 -3.8L-3.8 3.8',
  unlabelledAccepted: 'M3.6 0A3.6 3.6 0 1 1 3.6 -0.01z',
  unlabelledRefused: 'M-4 -4H4V4H-4z',
  unknown: 'M0 -6L6 0L0 6L-6 0z',
};
const DEFLECTION = 'M0 -8V8';
const SCALE = 1.25;

/** Paints a mark of the lanes at a place on the trail, on a ground of its own so that it stands out from the blade. */
export function paintMark(
  ctx: CanvasRenderingContext2D,
  kind: Mark['kind'],
  x: number,
  y: number,
  colours: StageColours,
): void {
  const { shape, fill, stroke } = lookOf(kind, colours);
  ctx.save();
  ctx.translate(x, y);
  ctx.scale(SCALE, SCALE);
  const path = new Path2D(shape);
  ctx.strokeStyle = colours.paper;
  ctx.lineWidth = 5;
  ctx.stroke(path);
  if (fill) {
    ctx.fillStyle = fill;
    ctx.fill(path);
  }
  ctx.strokeStyle = stroke;
  ctx.lineWidth = 1.8;
  ctx.stroke(path);
  ctx.restore();
}

function lookOf(
  kind: Mark['kind'],
  colours: StageColours,
): { shape: string; fill: string | null; stroke: string } {
  const { ink, paper, quiet, guard, impact } = colours;
  if (kind === 'deflection') return { shape: DEFLECTION, fill: null, stroke: colours.deflection };
  if (isGesture(kind)) {
    const { mark, isFilled } = gestureLook(kind);
    return { shape: mark, fill: isFilled ? colours[kind] : null, stroke: colours[kind] };
  }
  const shape = PRESS_SHAPES[kind];
  switch (kind) {
    case 'strayLetThrough':
      return { shape, fill: impact, stroke: impact };
    case 'strayRefused':
      return { shape, fill: paper, stroke: guard };
    case 'wantedAccepted':
      return { shape, fill: ink, stroke: ink };
    case 'wantedRefused':
      return { shape, fill: paper, stroke: impact };
    default:
      return { shape, fill: paper, stroke: quiet };
  }
}

function isGesture(kind: Mark['kind']): kind is GestureDetectorId {
  return GESTURE_DETECTOR_IDS.some((id) => id === kind);
}
