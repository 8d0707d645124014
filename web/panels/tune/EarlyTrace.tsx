import { useMemo, useRef } from 'preact/hooks';
import { DEG_PER_RAD } from '../../../server/engine/base/units.ts';
import { palette } from '../../charts/palette.ts';
import { clampWindow, wholeTake } from '../../charts/view.ts';
import { fromAfar, type SeenFromAfar } from '../../state/overview.ts';
import { dispatch, sight } from '../../state/store.ts';
import { StaveCard } from '../StaveCard.tsx';
import { useNavigation } from '../useNavigation.tsx';

/** While a take is being read: that it is, and of a long one in Tune what is known of it already. */
export function EarlyTrace({ takeId }: { readonly takeId: string }) {
  const seen = fromAfar.value;
  if (seen?.takeId !== takeId || sight.view.value !== 'tune') return <p class="empty">Reading the take…</p>;
  return <SpeedFromAfar seen={seen} />;
}

/** The swing speed alone, whole or zoomed. Nothing is judged by it: verdicts come with the take itself. */
function SpeedFromAfar({ seen }: { readonly seen: SeenFromAfar }) {
  const column = useRef<HTMLDivElement>(null);
  const { durationUs, bladeLengthM } = seen;
  const whole = useMemo(() => wholeTake(durationUs), [durationUs]);
  const window = sight.window.value ?? whole;
  const band = useNavigation(column, {
    window: () => sight.window.peek() ?? whole,
    durationUs: () => durationUs,
    moveTo: (to) => dispatch({ type: 'windowMoved', window: to && clampWindow(to, durationUs) }),
  });
  const { timeline, speedDps, top } = useMemo(() => pointsOf(seen), [seen]);
  const perUnit = bladeLengthM / DEG_PER_RAD;
  return (
    <div class="column" ref={column}>
      <StaveCard
        name="speed"
        title="Swing speed"
        unit={`°/s · at the right m/s at the tip, ${bladeLengthM} m out`}
        note={
          <span class="caution" role="status" data-early>
            Reading the take: presses, lanes and scores follow
          </span>
        }
        timeline={timeline}
        channels={[speedDps]}
        traces={[{ colour: palette.value.ink, fill: palette.value.fill }]}
        window={window}
        range={[0, top * 1.06]}
        hasTimeAxis
        rightAxis={{ perUnit, format: (value) => String(Number(value.toFixed(1))) }}
        format={(value) => String(Math.round(value))}
        readOut={(value) => `about ${value.toFixed(0)} °/s`}
        over={() => null}
      />
      {band}
    </div>
  );
}

/** Each stretch as two points, its lowest and its highest. */
function pointsOf({ durationUs, lowsDps, highsDps }: SeenFromAfar) {
  const count = lowsDps.length;
  const speedDps = new Float64Array(2 * count);
  const timeUs = new Float64Array(2 * count);
  for (let k = 0; k < 2 * count; ++k) {
    timeUs[k] = (k * durationUs) / (2 * count);
    speedDps[k] = (k % 2 === 0 ? lowsDps : highsDps)[k >> 1] ?? Number.NaN;
  }
  const top = highsDps.reduce<number>((most, dps) => Math.max(most, dps ?? 0), 1);
  return { timeline: { timeUs, segments: [{ start: 0, end: 2 * count }] }, speedDps, top };
}
