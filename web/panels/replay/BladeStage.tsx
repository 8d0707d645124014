import { effect } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import type { BladePath } from '../../../server/engine/motion/bladePath.ts';
import { FIRST_VIEW, Projection, turnView } from '../../../server/engine/replay/projection.ts';
import { openLabels } from '../../state/openTake.ts';
import { bladeView, playheadUs } from '../../state/playhead.ts';
import { eventsOf, shownSlots, stories } from '../../state/story.ts';
import { verdicts } from '../../state/verdicts.ts';
import { useSize } from '../useSize.ts';
import { heldScene, shineOf } from './heldScene.ts';
import { LightHold } from './lightHold.ts';
import { paintBlade } from './paintBlade.ts';
import { type Scene, sceneAt } from './scene.ts';
import { type StageColours, stageColours } from './stageColours.ts';

const KEY_DEG = 10;
const DEG_PER_PX = 0.5;
const TURNS: Readonly<Record<string, readonly [yaw: number, pitch: number]>> = {
  ArrowLeft: [-KEY_DEG, 0],
  ArrowRight: [KEY_DEG, 0],
  ArrowUp: [0, KEY_DEG],
  ArrowDown: [0, -KEY_DEG],
};

/** The blade in space, of each candidate in sight, side by side; turned by a drag or the arrow keys. */
export function BladeStage({ path }: { readonly path: BladePath | null }) {
  const { ref, width, height } = useSize();
  const canvas = useRef<HTMLCanvasElement>(null);
  // Outlives a change of size: what is on screen does, too.
  const hold = useRef(new LightHold());
  const slots = shownSlots.value;

  useEffect(() => {
    if (!canvas.current || !path || width === 0) return;
    return bindPainting(canvas.current, { path, width, height, hold: hold.current });
  }, [path, width, height]);

  const turnByKey = (event: KeyboardEvent): void => {
    const turn = TURNS[event.key];
    if (!turn || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    bladeView.value = turnView(bladeView.peek(), ...turn);
  };
  const drag = (event: PointerEvent): void => {
    if (event.button !== 0) return;
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
  };
  const turnByDrag = (event: PointerEvent): void => {
    if (!(event.currentTarget as Element).hasPointerCapture(event.pointerId)) return;
    bladeView.value = turnView(bladeView.peek(), -event.movementX * DEG_PER_PX, event.movementY * DEG_PER_PX);
  };
  return (
    <div class="blade-stage" ref={ref}>
      <canvas
        ref={canvas}
        role="img"
        tabIndex={0}
        aria-label="The blade in space, the trail of its tip behind it. Arrow keys turn the view."
        style={{ width: `${width}px`, height: `${height}px` }}
        onKeyDown={turnByKey}
        onPointerDown={drag}
        onPointerMove={turnByDrag}
        onDblClick={() => (bladeView.value = FIRST_VIEW)}
      />
      {slots.length > 1 && slots.map((slot) => <b key={slot}>{slot.toUpperCase()}</b>)}
      {!path && <p class="quiet">Following the blade…</p>}
    </div>
  );
}

interface Painted {
  readonly path: BladePath;
  readonly width: number;
  readonly height: number;
  readonly hold: LightHold;
}

/** Paints whenever anything that is seen changes. @returns a function that ends it. */
function bindPainting(canvas: HTMLCanvasElement, { path, width, height, hold }: Painted): () => void {
  const ratio = Math.min(2, devicePixelRatio);
  canvas.width = Math.round(width * ratio);
  canvas.height = Math.round(height * ratio);
  const ctx = canvas.getContext('2d')!;
  ctx.scale(ratio, ratio);
  const colours = stageColours(canvas.parentElement!);
  let timer: ReturnType<typeof setTimeout> | undefined;
  let last: readonly Scene[] = [];
  const paint = (scenes: readonly Scene[]): void => {
    const wanted = scenes.map(shineOf).join(' ');
    // One for both: two blades that change in turn are as bad as one that changes twice.
    const shown = hold.step(performance.now(), wanted);
    if (canvas.dataset['light'] !== shown) canvas.dataset['light'] = shown;
    const shines = shown.split(' ');
    // One candidate more or less in sight: what is held of the others says nothing of it.
    if (shines.length === scenes.length)
      last = scenes.map((scene, k) => heldScene(scene, shines[k]!, last[k]));
    else last = scenes;
    paintSideBySide(ctx, last, { width, height, colours });
    clearTimeout(timer);
    if (shown !== wanted) timer = setTimeout(() => paint(scenes), hold.waitMs(performance.now()) + 1);
  };
  const stop = effect(() => {
    const at = playheadUs.value;
    const scenes = shownSlots.value.flatMap((slot): Scene[] => {
      const [verdict, story, events] = [verdicts[slot].value, stories[slot].value, eventsOf[slot].value];
      if (at === null || !verdict || !story || !events) return [];
      return [sceneAt(at, path, { verdict, story, events }, openLabels.value)];
    });
    if (scenes.length > 0) paint(scenes);
  });
  return () => {
    stop();
    clearTimeout(timer);
  };
}

function paintSideBySide(
  ctx: CanvasRenderingContext2D,
  scenes: readonly Scene[],
  { width, height, colours }: Pick<Painted, 'width' | 'height'> & { readonly colours: StageColours },
): void {
  const part = width / scenes.length;
  const projection = new Projection(bladeView.value, part, height);
  ctx.clearRect(0, 0, width, height);
  scenes.forEach((scene, k) => {
    ctx.save();
    ctx.beginPath();
    ctx.rect(k * part, 0, part, height);
    ctx.clip();
    ctx.translate(k * part, 0);
    paintBlade(ctx, scene, projection, colours);
    ctx.restore();
  });
}
