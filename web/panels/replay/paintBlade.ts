import { sideAt, tipAt } from '../../../server/engine/motion/bladePath.ts';
import { GROUND, type Projection } from '../../../server/engine/replay/projection.ts';
import { TRAIL_US, type TrailRun, trailOf } from '../../../server/engine/replay/trail.ts';
import { paintMark } from './paintMark.ts';
import type { Scene } from './scene.ts';
import type { StageColours } from './stageColours.ts';

/** In blade lengths: ends of the grip, the fin that shows how the grip is turned, and the push of 1 g. */
const GRIP = { from: -0.12, to: 0.12, fin: 0.09 };
/** Radius of the ground that is drawn. */
const FLOOR = 0.85;
const PUSH_PER_G = 0.2;
const LONGEST_PUSH = 0.75;
/** Room for a mark, and the time between two that would lie upon one another. */
const MARK_PX = 17;
const SAME_MOMENT_US = 30_000;
/** A push below this is the hand's own unrest. */
const LEAST_PUSH_G = 0.4;
/** The trail fades in so many steps. */
const FADES = 6;

/** Paints one candidate's blade into the part of a picture that `projection` fills, from its origin on. */
export function paintBlade(
  ctx: CanvasRenderingContext2D,
  scene: Scene,
  projection: Projection,
  colours: StageColours,
): void {
  ctx.lineCap = 'round';
  ctx.lineJoin = 'round';
  paintGround(ctx, projection, colours);
  const { index, path, timeline, closed } = scene;
  if (index === null) return;
  ctx.globalAlpha = scene.isUnsure ? 0.4 : 1;
  for (const run of trailOf(path, timeline, closed, index)) paintRun(ctx, run, projection, colours);
  const tip = tipAt(path, index);
  paintShadow(ctx, tip, projection, colours);
  const alpha = ctx.globalAlpha;
  ctx.globalAlpha = 0.4 * alpha;
  paintPush(ctx, tip, scene.hardestG, projection, colours);
  ctx.globalAlpha = alpha;
  paintPush(ctx, tip, scene.thrustG, projection, colours);
  paintEdge(ctx, tip, scene, projection, colours);
  paintGrip(ctx, tip, sideAt(path, index), projection, colours);
  ctx.globalAlpha = 1;
  paintMarks(ctx, scene, projection, colours);
}

/** Marks of one moment, such as a stab and the hit that ended it, stand one beyond the other, away from the hand. */
function paintMarks(
  ctx: CanvasRenderingContext2D,
  { marks, path, timeline }: Scene,
  projection: Projection,
  colours: StageColours,
): void {
  const [handX, handY] = [projection.width / 2, projection.height / 2];
  let lastUs = Number.NEGATIVE_INFINITY;
  let beyond = 0;
  for (const { kind, index } of marks) {
    const tUs = timeline.timeUs[index]!;
    beyond = tUs - lastUs < SAME_MOMENT_US ? beyond + 1 : 0;
    lastUs = tUs;
    const tip = tipAt(path, index);
    const { x, y } = projection.place(tip[0]!, tip[1]!, tip[2]!);
    const part = (beyond * MARK_PX) / Math.max(1, Math.hypot(x - handX, y - handY));
    paintMark(ctx, kind, x + part * (x - handX), y + part * (y - handY), colours);
  }
}

function paintGround(ctx: CanvasRenderingContext2D, projection: Projection, { rule }: StageColours): void {
  ctx.strokeStyle = rule;
  ctx.lineWidth = 1;
  ctx.setLineDash([]);
  ctx.beginPath();
  for (let k = -4; k <= 4; ++k) {
    const [at, half] = [(k / 4) * FLOOR, (Math.sqrt(16 - k * k) / 4) * FLOOR];
    line(ctx, projection, [at, -half, GROUND], [at, half, GROUND]);
    line(ctx, projection, [-half, at, GROUND], [half, at, GROUND]);
  }
  ctx.stroke();
  ctx.setLineDash([2, 4]);
  ctx.beginPath();
  line(ctx, projection, [0, 0, 0], [0, 0, GROUND]);
  ctx.stroke();
  ctx.setLineDash([]);
}

type Point = readonly [x: number, y: number, z: number];

function line(ctx: CanvasRenderingContext2D, projection: Projection, from: Point, to: Point): void {
  projection.place(...from);
  ctx.moveTo(projection.x, projection.y);
  projection.place(...to);
  ctx.lineTo(projection.x, projection.y);
}

/** Wide where the guard is closed, thin and dashed where it is open; older parts are fainter. */
function paintRun(
  ctx: CanvasRenderingContext2D,
  { isClosed, points, ageUs }: TrailRun,
  projection: Projection,
  colours: StageColours,
): void {
  const alpha = ctx.globalAlpha;
  ctx.strokeStyle = isClosed ? colours.guard : colours.ink;
  ctx.lineWidth = isClosed ? 3.5 : 1.5;
  ctx.setLineDash(isClosed ? [] : [4, 4]);
  let fade = -1;
  for (let k = 0; k < ageUs.length; ++k) {
    projection.place(points[3 * k]!, points[3 * k + 1]!, points[3 * k + 2]!);
    const { x, y } = projection;
    if (fade >= 0) ctx.lineTo(x, y);
    const next = Math.min(FADES - 1, Math.floor((ageUs[k]! / TRAIL_US) * FADES));
    if (next === fade) continue;
    if (fade >= 0) ctx.stroke();
    fade = next;
    ctx.globalAlpha = alpha * (1 - (0.8 * fade) / (FADES - 1));
    ctx.beginPath();
    ctx.moveTo(x, y);
  }
  ctx.stroke();
  ctx.setLineDash([]);
  ctx.globalAlpha = alpha;
}

function paintShadow(
  ctx: CanvasRenderingContext2D,
  tip: Float64Array,
  projection: Projection,
  { rule }: StageColours,
): void {
  ctx.strokeStyle = rule;
  ctx.lineWidth = 3;
  ctx.beginPath();
  line(ctx, projection, [0, 0, GROUND], [tip[0]!, tip[1]!, GROUND]);
  ctx.stroke();
}

/** Behind the grip, as long as the push along the blade is hard; its head points the way it pushes. */
function paintPush(
  ctx: CanvasRenderingContext2D,
  tip: Float64Array,
  thrustG: number,
  projection: Projection,
  { stab }: StageColours,
): void {
  if (!(Math.abs(thrustG) >= LEAST_PUSH_G)) return;
  const near = GRIP.from - 0.06;
  const far = near - Math.min(LONGEST_PUSH, Math.abs(thrustG) * PUSH_PER_G);
  const [from, to] = thrustG > 0 ? [far, near] : [near, far];
  const start = projection.place(from * tip[0]!, from * tip[1]!, from * tip[2]!);
  const [x0, y0] = [start.x, start.y];
  const { x, y } = projection.place(to * tip[0]!, to * tip[1]!, to * tip[2]!);
  const angle = Math.atan2(y - y0, x - x0);
  ctx.strokeStyle = stab;
  ctx.lineWidth = 3;
  ctx.beginPath();
  ctx.moveTo(x0, y0);
  ctx.lineTo(x, y);
  for (const side of [2.6, -2.6]) {
    ctx.moveTo(x, y);
    ctx.lineTo(x + 9 * Math.cos(angle + side), y + 9 * Math.sin(angle + side));
  }
  ctx.stroke();
}

/** The blade itself: lit is filled and glows, dark is hollow, wrongly dark is hollow and dashed, unknown is dotted. */
function paintEdge(
  ctx: CanvasRenderingContext2D,
  tip: Float64Array,
  { light }: Scene,
  projection: Projection,
  colours: StageColours,
): void {
  const stroke = (colour: string, width: number, dash: number[] = []): void => {
    ctx.strokeStyle = colour;
    ctx.lineWidth = width;
    ctx.setLineDash(dash);
    ctx.beginPath();
    const [x, y, z] = [tip[0]!, tip[1]!, tip[2]!];
    line(ctx, projection, [GRIP.to * x, GRIP.to * y, GRIP.to * z], [x, y, z]);
    ctx.stroke();
  };
  switch (light) {
    case 'lit':
      stroke(colours.glow, 20);
      stroke(colours.glow, 13);
      stroke(colours.lit, 6);
      break;
    case 'unknown':
      stroke(colours.quiet, 4, [0.1, 8]);
      break;
    case 'dark':
    case 'wronglyDark':
      stroke(light === 'dark' ? colours.quiet : colours.bad, 9, light === 'dark' ? [] : [10, 12]);
      stroke(colours.paper, 5.5);
  }
  ctx.setLineDash([]);
}

/** The grip, with a fin that turns as the hand turns it. */
function paintGrip(
  ctx: CanvasRenderingContext2D,
  tip: Float64Array,
  side: Float64Array,
  projection: Projection,
  { ink }: StageColours,
): void {
  const on = (along: number, across: number): Point => [
    along * tip[0]! + across * side[0]!,
    along * tip[1]! + across * side[1]!,
    along * tip[2]! + across * side[2]!,
  ];
  ctx.strokeStyle = ink;
  ctx.lineWidth = 8;
  ctx.beginPath();
  line(ctx, projection, on(GRIP.from, 0), on(GRIP.to, 0));
  ctx.stroke();
  ctx.lineWidth = 3;
  ctx.beginPath();
  line(ctx, projection, on(GRIP.to, 0), on(GRIP.to, GRIP.fin));
  ctx.stroke();
}
