import { useMemo, useRef } from 'preact/hooks';
import { cursorUs } from '../charts/cursor.ts';
import { GUTTER_LEFT, GUTTER_RIGHT } from '../charts/geometry.ts';
import { wholeTake } from '../charts/view.ts';
import { spanMode } from '../state/labelWalk.ts';
import type { TimeWindow } from '../state/model.ts';
import type { OpenTake } from '../state/openTake.ts';
import { playheadUs } from '../state/playhead.ts';
import { sight } from '../state/store.ts';
import { type Verdicts, verdicts } from '../state/verdicts.ts';
import { Lanes } from './Lanes.tsx';
import { SpanOverlay } from './labels/SpanMode.tsx';
import { OverviewStrip } from './OverviewStrip.tsx';
import { ImpactStave, SpeedStave, ThrustStave } from './staves.tsx';
import { TwistStave } from './TwistStave.tsx';
import { FoldedStaves, useOpenStaves } from './tune/FoldedStaves.tsx';
import { OPEN_TAKE, useNavigation } from './useNavigation.tsx';

/** One take as a score: staves of motion, lanes of verdicts, thresholds to drag. */
export function TuneView({ take }: { readonly take: OpenTake }) {
  const a = verdicts.a.value;
  return a && <Score take={take} a={a} />;
}

function Score({ take, a }: { readonly take: OpenTake; readonly a: Verdicts }) {
  const column = useRef<HTMLDivElement>(null);
  const band = useNavigation(column, OPEN_TAKE);
  // One object as long as it means the same: what is painted from it is not painted again.
  const whole = useMemo(() => wholeTake(take.durationUs), [take.durationUs]);
  const window = sight.window.value ?? whole;

  const b = sight.showB.value ? verdicts.b.value : null;
  const open = useOpenStaves(a, b);
  return (
    <div class="column" ref={column} data-labelling={spanMode.value ? 'spans' : undefined}>
      {a.signals.warnings.length > 0 && <p class="caution-line">{a.signals.warnings.join(' ')}</p>}
      <SpeedStave take={take} window={window} a={a} b={b} />
      <Lanes window={window} />
      {open.has('thrust') && <ThrustStave window={window} a={a} b={b} take={take} />}
      {open.has('twist') && <TwistStave window={window} a={a} b={b} />}
      {open.has('impact') && <ImpactStave window={window} a={a} b={b} />}
      <FoldedStaves take={take} a={a} b={b} open={open} />
      <OverviewStrip take={take} signals={a.signals} window={window} />
      {band}
      <SpanOverlay window={window} />
      <Crosshair window={window} />
      <Playhead window={window} />
    </div>
  );
}

function Crosshair({ window }: { readonly window: TimeWindow }) {
  const at = cursorUs.value;
  if (at === null) return null;
  return <div class="crosshair" style={{ left: leftOf(at, window) }} />;
}

/** The moment that the replay shows. */
function Playhead({ window }: { readonly window: TimeWindow }) {
  const at = playheadUs.value;
  if (at === null || at < window.startUs || at > window.endUs) return null;
  return <div class="playhead" data-playhead style={{ left: leftOf(at, window) }} />;
}

function leftOf(tUs: number, window: TimeWindow): string {
  const part = (tUs - window.startUs) / (window.endUs - window.startUs);
  return `calc(var(--card-inset) + ${GUTTER_LEFT}px + ${part} * (100% - 2 * var(--card-inset) - ${GUTTER_LEFT + GUTTER_RIGHT}px))`;
}
