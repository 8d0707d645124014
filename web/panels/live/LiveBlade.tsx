import { effect } from '@preact/signals';
import { useMemo } from 'preact/hooks';
import { liveScene } from '../../live/liveScene.ts';
import { Paced } from '../../live/paced.ts';
import { bladeView } from '../../state/playhead.ts';
import { shownSlots } from '../../state/story.ts';
import { StageCanvas } from '../replay/StageCanvas.tsx';
import { StagePainter, type StageRoom } from '../replay/stagePainter.ts';
import type { LiveSight } from './useLiveTrack.ts';

/** The blade as it is now, painted as the replay paints it. */
export function LiveBlade({ sight }: { readonly sight: LiveSight }) {
  const bind = useMemo(
    () => (canvas: HTMLCanvasElement, room: StageRoom) => bindPainting(canvas, room, sight),
    [sight],
  );
  return <StageCanvas bind={bind} />;
}

/** Paints whenever rows have come, or it is looked at from elsewhere. @returns a function that ends it. */
function bindPainting(canvas: HTMLCanvasElement, room: StageRoom, sight: LiveSight): () => void {
  const painter = new StagePainter(canvas, room);
  const paced = new Paced(() => {
    const { track } = sight;
    if (track && track.count > 0) painter.paint(shownSlots.peek().map((slot) => liveScene(track, slot)));
  });
  const stop = effect(() => {
    void [sight.news.value, bladeView.value, shownSlots.value];
    paced.ask();
  });
  return () => {
    stop();
    paced.end();
    painter.end();
  };
}
