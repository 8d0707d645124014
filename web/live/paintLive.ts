import type { Palette } from '../charts/palette.ts';
import { BEGINS, CLOSED_A, CLOSED_B, FIRES_A, FIRES_B, type LiveTrack, SHOWN_S } from './liveTrack.ts';

/** Where the names of the lanes stand. */
const LEFT = 96;
const RIGHT = 10;
const LANE = 22;
const LANES = 4;
const STEPS_DPS = [100, 250, 500, 1000, 2500, 5000];
const LEAST_TOP_DPS = 400;
const LEAST_TOP_G = 2;

export interface LiveThresholds {
  readonly guardDps: number;
  readonly deflectionDps: number;
  readonly stabG: number;
}

interface Frame {
  readonly context: CanvasRenderingContext2D;
  readonly track: LiveTrack;
  readonly palette: Palette;
  readonly width: number;
  /** The first sample that is shown, counted as the track counts. */
  readonly first: number;
  x(timeUs: number): number;
}

/** Paints the last seconds: swing speed, thrust, and what guard and deflection did, newest at the right. Sizes in CSS pixels. */
export function paintLive(
  context: CanvasRenderingContext2D,
  track: LiveTrack,
  palette: Palette,
  thresholds: LiveThresholds,
  width: number,
  height: number,
): void {
  context.clearRect(0, 0, width, height);
  context.font = '12px system-ui, sans-serif';
  context.textBaseline = 'middle';
  const fromUs = track.lastUs - SHOWN_S * 1e6;
  const plot = width - LEFT - RIGHT;
  const frame: Frame = {
    context,
    track,
    palette,
    width,
    first: track.firstFrom(fromUs),
    x: (timeUs) => LEFT + (plot * (timeUs - fromUs)) / (SHOWN_S * 1e6),
  };
  const staves = height - LANES * LANE - 8;
  const speed = { top: 6, height: 0.66 * staves - 6 };
  const thrust = { top: 0.66 * staves + 10, height: 0.34 * staves - 14 };
  const { guardDps, deflectionDps, stabG } = thresholds;
  const mostDps = Math.max(LEAST_TOP_DPS, 1.1 * guardDps, largest(frame, track.speedDps));
  const topDps = STEPS_DPS.find((step) => 1.05 * mostDps <= step) ?? 1.05 * mostDps;
  paintStave(frame, speed, track.speedDps, [0, topDps], 'Swing', `${Math.round(topDps)} °/s`);
  paintLine(frame, speed, guardDps / topDps, palette.guard, 'guard A', 'left');
  paintLine(frame, speed, deflectionDps / topDps, palette.deflection, 'deflection A', 'right');
  const topG = Math.max(LEAST_TOP_G, 1.1 * stabG, 1.05 * largest(frame, track.thrustG));
  paintStave(frame, thrust, track.thrustG, [-topG, topG], 'Thrust', `±${topG.toFixed(1)} g`);
  const lanesTop = staves + 8;
  paintClosed(frame, lanesTop, CLOSED_A, 'Guard A');
  paintClosed(frame, lanesTop + LANE, CLOSED_B, 'Guard B');
  paintFires(frame, lanesTop + 2 * LANE);
  paintPresses(frame, lanesTop + 3 * LANE);
}

function largest({ first, track }: Frame, values: Float32Array): number {
  let most = 0;
  for (let i = first; i < track.count; ++i) most = Math.max(most, Math.abs(values[i % track.capacity]!));
  return most;
}

function paintStave(
  frame: Frame,
  { top, height }: { readonly top: number; readonly height: number },
  values: Float32Array,
  [low, high]: readonly [number, number],
  name: string,
  range: string,
): void {
  const { context, palette, track, first, x, width } = frame;
  context.strokeStyle = palette.grid;
  context.strokeRect(LEFT, top, width - LEFT - RIGHT, height);
  context.fillStyle = palette.quiet;
  context.fillText(name, 8, top + 10);
  context.fillText(range, 8, top + 26);
  context.strokeStyle = palette.ink;
  context.beginPath();
  const y = (value: number) => top + height * (1 - (value - low) / (high - low));
  // A column of pixels at a time: its lowest and its highest, so that no peak goes missing.
  let column = Number.NaN;
  let [least, most] = [0, 0];
  for (let i = first; i < track.count; ++i) {
    const at = i % track.capacity;
    const value = values[at]!;
    const pixel = Math.round(x(track.timeUs[at]!));
    if (pixel === column && (track.marks[at]! & BEGINS) === 0) {
      least = Math.min(least, value);
      most = Math.max(most, value);
      continue;
    }
    if (!Number.isNaN(column)) {
      context.lineTo(column, y(least));
      context.lineTo(column, y(most));
    }
    if (Number.isNaN(column) || (track.marks[at]! & BEGINS) !== 0) context.moveTo(pixel, y(value));
    [column, least, most] = [pixel, value, value];
  }
  if (!Number.isNaN(column)) {
    context.lineTo(column, y(least));
    context.lineTo(column, y(most));
  }
  context.stroke();
}

function paintLine(
  { context, width }: Frame,
  { top, height }: { readonly top: number; readonly height: number },
  part: number,
  colour: string,
  name: string,
  side: 'left' | 'right',
): void {
  if (!(part <= 1)) return;
  const y = top + height * (1 - part);
  context.strokeStyle = colour;
  context.setLineDash([6, 4]);
  context.beginPath();
  context.moveTo(LEFT, y);
  context.lineTo(width - RIGHT, y);
  context.stroke();
  context.setLineDash([]);
  context.fillStyle = colour;
  // The two often lie at the same speed.
  context.textAlign = side;
  context.fillText(name, side === 'left' ? LEFT + 6 : width - RIGHT - 6, y - 7);
  context.textAlign = 'left';
}

function nameLane({ context, palette }: Frame, top: number, name: string): void {
  context.fillStyle = palette.quiet;
  context.fillText(name, 8, top + LANE / 2);
}

function paintClosed(frame: Frame, top: number, bit: number, name: string): void {
  const { context, track, first, palette, x } = frame;
  nameLane(frame, top, name);
  context.fillStyle = palette.guard;
  let startUs = Number.NaN;
  for (let i = first; i <= track.count; ++i) {
    const at = i % track.capacity;
    const isClosed = i < track.count && (track.marks[at]! & bit) !== 0 && (track.marks[at]! & BEGINS) === 0;
    if (isClosed && Number.isNaN(startUs)) startUs = track.timeUs[at]!;
    if (isClosed || Number.isNaN(startUs)) continue;
    const endUs = track.timeUs[(i - 1) % track.capacity]!;
    context.fillRect(x(startUs), top + 6, Math.max(1, x(endUs) - x(startUs)), LANE - 12);
    startUs = Number.NaN;
  }
}

function paintFires(frame: Frame, top: number): void {
  const { context, track, first, palette, x } = frame;
  nameLane(frame, top, 'Deflect A, B');
  context.fillStyle = palette.deflection;
  for (let i = first; i < track.count; ++i) {
    const at = i % track.capacity;
    const marks = track.marks[at]!;
    if ((marks & (FIRES_A | FIRES_B)) === 0) continue;
    const left = x(track.timeUs[at]!) - 1;
    if ((marks & FIRES_A) !== 0) context.fillRect(left, top + 3, 3, LANE / 2 - 4);
    if ((marks & FIRES_B) !== 0) context.fillRect(left, top + LANE / 2 + 1, 3, LANE / 2 - 4);
  }
}

/** Through: filled; refused: an outline; not decided: a line. Upper half A, lower half B. */
function paintPresses(frame: Frame, top: number): void {
  const { context, track, palette, x } = frame;
  nameLane(frame, top, 'Presses A, B');
  context.fillStyle = palette.ink;
  context.strokeStyle = palette.ink;
  for (const { timeUs, fates } of track.presses) {
    const left = x(timeUs);
    if (left < LEFT) continue;
    for (const [fate, y] of [
      [fates.a, top + 2],
      [fates.b, top + LANE / 2 + 1],
    ] as const) {
      const size = LANE / 2 - 4;
      if (fate === 'open') context.fillRect(left, y, 1, size);
      else if (fate === 'refused') context.strokeRect(left - size / 2 + 0.5, y + 0.5, size - 1, size - 1);
      else context.fillRect(left - size / 2, y, size, size);
    }
  }
}
