import { effect } from '@preact/signals';
import { useMemo } from 'preact/hooks';
import type { BladePath } from '../../../server/engine/motion/bladePath.ts';
import { openLabels } from '../../state/openTake.ts';
import { playheadUs } from '../../state/playhead.ts';
import { eventsOf, shownSlots, stories } from '../../state/story.ts';
import { verdicts } from '../../state/verdicts.ts';
import { StageCanvas } from './StageCanvas.tsx';
import { type Scene, sceneAt } from './scene.ts';
import { StagePainter, type StageRoom } from './stagePainter.ts';

/** The blades of the open take at the playhead. */
export function BladeStage({ path }: { readonly path: BladePath | null }) {
  const bind = useMemo(
    () => path && ((canvas: HTMLCanvasElement, room: StageRoom) => bindPainting(canvas, path, room)),
    [path],
  );
  return <StageCanvas bind={bind}>{!path && <p class="quiet">Following the blade…</p>}</StageCanvas>;
}

/** Paints whenever anything that is seen changes. @returns a function that ends it. */
function bindPainting(canvas: HTMLCanvasElement, path: BladePath, room: StageRoom): () => void {
  const painter = new StagePainter(canvas, room);
  const stop = effect(() => {
    const at = playheadUs.value;
    const scenes = shownSlots.value.flatMap((slot): Scene[] => {
      const [verdict, story, events] = [verdicts[slot].value, stories[slot].value, eventsOf[slot].value];
      if (at === null || !verdict || !story || !events) return [];
      return [sceneAt(at, path, { verdict, story, events }, openLabels.value)];
    });
    if (scenes.length > 0) painter.paint(scenes);
  });
  return () => {
    stop();
    painter.end();
  };
}
