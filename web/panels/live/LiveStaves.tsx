import { useEffect, useMemo, useRef } from 'preact/hooks';
import { palette } from '../../charts/palette.ts';
import { Paced } from '../../live/paced.ts';
import { paintLive } from '../../live/paintLive.ts';
import { candidates } from '../../state/store.ts';
import { useSize } from '../useSize.ts';
import type { LiveSight } from './useLiveTrack.ts';

/** The last seconds of a recording, painted whenever rows have come. */
export function LiveStaves({ sight }: { readonly sight: LiveSight }) {
  const { ref, width, height } = useSize();
  const canvas = useRef<HTMLCanvasElement>(null);
  const paint = useRef(() => {});
  // News may come faster than frames.
  const paced = useMemo(() => new Paced(() => paint.current()), []);
  const news = sight.news.value;
  const colours = palette.value;
  const { guard, deflection, stab } = candidates.a.value;

  useEffect(() => {
    if (!canvas.current) return;
    const ratio = Math.min(2, devicePixelRatio);
    canvas.current.width = Math.max(1, Math.round(width * ratio));
    canvas.current.height = Math.max(1, Math.round(height * ratio));
  }, [width, height]);

  useEffect(() => paced.ask(), [news, width, height, colours]);
  useEffect(() => () => paced.end(), [paced]);

  paint.current = () => {
    const context = canvas.current?.getContext('2d');
    if (!context || !sight.track || !(width > 0)) return;
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
