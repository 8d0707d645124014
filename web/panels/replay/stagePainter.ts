import { Projection } from '../../../server/engine/replay/projection.ts';
import { bladeView } from '../../state/playhead.ts';
import { heldScene, shineOf } from './heldScene.ts';
import type { LightHold } from './lightHold.ts';
import { paintBlade } from './paintBlade.ts';
import type { Scene } from './scene.ts';
import { type StageColours, stageColours } from './stageColours.ts';

/** Where blades are painted, in CSS pixels, and what holds their light. */
export interface StageRoom {
  readonly width: number;
  readonly height: number;
  readonly hold: LightHold;
}

/** Whether two blades stand one above the other: in a room that is higher than wide. */
export function isStacked({ width, height }: Pick<StageRoom, 'width' | 'height'>): boolean {
  return height > width;
}

/** Paints blades beside one another, from where they are looked at, and keeps changes of light under three a second. */
export class StagePainter {
  private readonly canvas: HTMLCanvasElement;
  private readonly ctx: CanvasRenderingContext2D;
  private readonly room: StageRoom;
  private readonly colours: StageColours;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private last: readonly Scene[] = [];

  constructor(canvas: HTMLCanvasElement, room: StageRoom) {
    const ratio = Math.min(2, devicePixelRatio);
    canvas.width = Math.round(room.width * ratio);
    canvas.height = Math.round(room.height * ratio);
    this.canvas = canvas;
    this.room = room;
    this.ctx = canvas.getContext('2d')!;
    this.ctx.scale(ratio, ratio);
    this.colours = stageColours(canvas.parentElement!);
  }

  paint(scenes: readonly Scene[]): void {
    const { hold } = this.room;
    const wanted = scenes.map(shineOf).join(' ');
    // One for both: two blades that change in turn are as bad as one that changes twice.
    const shown = hold.step(performance.now(), wanted);
    if (this.canvas.dataset['light'] !== shown) this.canvas.dataset['light'] = shown;
    const shines = shown.split(' ');
    // One candidate more or less in sight: what is held of the others says nothing of it.
    if (shines.length === scenes.length)
      this.last = scenes.map((scene, k) => heldScene(scene, shines[k]!, this.last[k]));
    else this.last = scenes;
    this.paintAll();
    clearTimeout(this.timer);
    if (shown !== wanted)
      this.timer = setTimeout(() => this.paint(scenes), hold.waitMs(performance.now()) + 1);
  }

  /** Nothing is painted any more. */
  end(): void {
    clearTimeout(this.timer);
  }

  private paintAll(): void {
    const { ctx, last, colours } = this;
    const { width, height } = this.room;
    const [columns, rows] = isStacked(this.room) ? [1, last.length] : [last.length, 1];
    const [wide, high] = [width / columns, height / rows];
    const projection = new Projection(bladeView.value, wide, high);
    ctx.clearRect(0, 0, width, height);
    last.forEach((scene, k) => {
      ctx.save();
      ctx.beginPath();
      const [left, top] = rows > 1 ? [0, k * high] : [k * wide, 0];
      ctx.rect(left, top, wide, high);
      ctx.clip();
      ctx.translate(left, top);
      paintBlade(ctx, scene, projection, colours);
      ctx.restore();
    });
  }
}
