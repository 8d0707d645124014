import { useEffect, useRef } from 'preact/hooks';
import { palette } from '../../charts/palette.ts';
import { paintLive } from '../../live/paintLive.ts';
import { candidates } from '../../state/store.ts';
import { useSize } from '../useSize.ts';
import type { LiveSight } from './useLiveTrack.ts';

/** Who asked for less motion sees the staves move on in steps. */
const CALM_MS = 1000;

/** The last seconds of a recording, painted whenever rows have come. */
export function LiveStaves({ sight }: { readonly sight: LiveSight }) {
  const { ref, width, height } = useSize();
  const canvas = useRef<HTMLCanvasElement>(null);
  const lastMs = useRef(Number.NEGATIVE_INFINITY);
  const isAsked = useRef(false);
  const news = sight.news.value;
  const colours = palette.value;
  const { guard, deflection, stab } = candidates.a.value;

  useEffect(() => {
    if (!canvas.current) return;
    const ratio = Math.min(2, devicePixelRatio);
    canvas.current.width = Math.max(1, Math.round(width * ratio));
    canvas.current.height = Math.max(1, Math.round(height * ratio));
  }, [width, height]);

  // News may come faster than frames: one that is asked for is never put off.
  useEffect(() => {
    if (isAsked.current) return;
    const isCalm = matchMedia('(prefers-reduced-motion: reduce)').matches;
    const wait = isCalm ? Math.max(0, CALM_MS - (performance.now() - lastMs.current)) : 0;
    const atNextFrame = (): void =>
      void requestAnimationFrame(() => {
        isAsked.current = false;
        paint.current();
      });
    isAsked.current = true;
    if (wait > 0) setTimeout(atNextFrame, wait);
    else atNextFrame();
  }, [news, width, height, colours]);

  const paint = useRef(() => {});
  paint.current = () => {
    const context = canvas.current?.getContext('2d');
    if (!context || !sight.track || !(width > 0)) return;
    lastMs.current = performance.now();
    const ratio = Math.min(2, devicePixelRatio);
    context.setTransform(ratio, 0, 0, ratio, 0, 0);
    const thresholds = {
      guardDps: guard.speedDps,
      deflectionDps: deflection.speedDps,
      stabG: stab.thrustG,
    };
    paintLive(context, sight.track, colours, thresholds, width, height);
    canvas.current!.dataset['rowUs'] = String(sight.track.lastRowUs);
  };

  return (
    <div class="live-staves" ref={ref}>
      <canvas
        ref={canvas}
        role="img"
        aria-label="Swing speed, thrust, guard, deflections and presses of the last 20 seconds"
      />
    </div>
  );
}
