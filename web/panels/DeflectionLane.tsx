import { useMemo, useRef } from 'preact/hooks';
import { declineOn } from '../../server/engine/choose/decline.ts';
import { DEFLECTION, swingEvidenceOf } from '../../server/engine/choose/deflectionProblem.ts';
import type { DeflectionSettings } from '../../server/engine/detect/deflection.ts';
import { explainMiss, type MissFix } from '../../server/engine/explain/missedSwings.ts';
import type { Swing } from '../../server/engine/truth/swings.ts';
import { declineWords } from '../../server/engine/words/choose/declines.ts';
import { missFixText, missText } from '../../server/engine/words/misses.ts';
import { inTenths, tickPath, xOf } from '../charts/laneShapes.ts';
import { formatMoment } from '../charts/stave.ts';
import { whyLeftOut } from '../state/fitness.ts';
import type { Slot, TimeWindow } from '../state/model.ts';
import { openLabels, openTake } from '../state/openTake.ts';
import { candidates } from '../state/store.ts';
import { truth, type Verdicts, verdicts } from '../state/verdicts.ts';
import { showHint } from './hint.tsx';

/** A swing that nothing fired in: hollow, beginning at the left. */
export const MISSED_SHAPE = 'l3.5 -3.5l3.5 3.5l-3.5 3.5z';

export const DEFLECTION_ROW = 18;

interface LaneProps {
  readonly window: TimeWindow;
  readonly width: number;
  readonly top: number;
}

/** Where deflections fire, and which swings are missed; with B, A stands above it. */
export function DeflectionLane({
  a,
  b,
  ...lane
}: LaneProps & { readonly a: Verdicts; readonly b: Verdicts | null }) {
  const { top } = lane;
  return (
    <g>
      <Strokes slot="a" verdict={a} lane={lane} from={top + 2} to={top + (b ? 9 : DEFLECTION_ROW - 2)} />
      {b && <Strokes slot="b" verdict={b} lane={lane} from={top + 10} to={top + DEFLECTION_ROW - 2} />}
      {(a.deflections === null || b?.deflections === null) && (
        <text class="lane-unknown" x={6} y={top + DEFLECTION_ROW / 2 + 4} data-lane="deflection-unknown">
          {unknownSlots(a, b)}not known
        </text>
      )}
      <DoubleFires verdict={a} {...lane} />
      <MissedSwings slot="a" verdict={a} {...lane} top={b ? top + 1 : top + 5} />
      {b && <MissedSwings slot="b" verdict={b} {...lane} top={top + 9} />}
    </g>
  );
}

/** Whose deflections nobody knows, where it is one of two. */
function unknownSlots(a: Verdicts, b: Verdicts | null): string {
  if (b === null || (a.deflections === null && b.deflections === null)) return '';
  return a.deflections === null ? 'A: ' : 'B: ';
}

interface StrokesProps {
  readonly slot: Slot;
  readonly verdict: Verdicts;
  readonly lane: LaneProps;
  readonly from: number;
  readonly to: number;
}

/** A stroke a fire, made anew only where fires or the window are others: a drag of the guard leaves them. */
function Strokes({ slot, verdict, lane: { window, width }, from, to }: StrokesProps) {
  const { deflections: known, signals } = verdict;
  const times = useMemo(
    () => Array.from(known ?? [], (index) => signals.timeUs[index]!),
    [known, signals.timeUs],
  );
  const d = useMemo(() => tickPath(times, window, width, from, to), [times, window, width, from, to]);
  return (
    <path class={`lane-deflection ${slot === 'b' ? 'is-b' : ''}`} data-lane={`deflection-${slot}`} d={d} />
  );
}

/** A swing that fired twice gets a second stroke beside its first. */
function DoubleFires({ verdict, window, width, top }: LaneProps & { readonly verdict: Verdicts }) {
  const times = (verdict.deflectionScore?.twiceUs ?? []).map(
    (tUs: number) => tUs + (3 / width) * (window.endUs - window.startUs),
  );
  return (
    <path
      class="lane-deflection"
      data-lane="double-a"
      d={tickPath(times, window, width, top + 3, top + DEFLECTION_ROW - 3)}
    />
  );
}

const MARK_PX = 8;
/** Closer together, hollow marks are not told from one another. */
const MISSED_APART_PX = 1;

/** All marks are one path, however many: what one of them means is looked up where the pointer is. */
function MissedSwings({
  slot,
  verdict,
  window,
  width,
  top,
}: LaneProps & { readonly slot: Slot; readonly verdict: Verdicts }) {
  const missedSwings = verdict.deflectionScore?.missedSwings ?? [];
  const y = top + MARK_PX / 2;
  const pointed = useRef<{ readonly swing: Swing | null; readonly verdict: Verdicts } | null>(null);
  const show = (swing: Swing | null): void => {
    if (pointed.current?.swing === swing && pointed.current.verdict === verdict) return;
    pointed.current = { swing, verdict };
    if (swing === null) showHint(null);
    else showReason(slot, swing, xOf(swing.peakUs, window, width), y);
  };
  const inSight = missedSwings.filter(({ peakUs }) => peakUs >= window.startUs && peakUs <= window.endUs);
  const point = (event: PointerEvent): void => {
    const { left } = (event.currentTarget as Element).getBoundingClientRect();
    const x = event.clientX - left;
    const near = (swing: Swing): number => Math.abs(xOf(swing.peakUs, window, width) - x);
    const [first, ...others] = inSight;
    const nearest = others.reduce((best, swing) => (near(swing) < near(best) ? swing : best), first!);
    show(near(nearest) > MARK_PX ? null : nearest);
  };
  if (inSight.length === 0) return null;
  return (
    <g class={slot === 'b' ? 'is-b' : undefined} data-lane={`missed-${slot}`} data-count={inSight.length}>
      <path class="lane-missed" d={marks(inSight, window, width, y)} />
      <rect
        class="reach"
        data-mark
        y={top}
        width={width}
        height={MARK_PX}
        onPointerMove={point}
        onPointerLeave={() => show(null)}
      />
    </g>
  );
}

function marks(swings: readonly Swing[], window: TimeWindow, width: number, y: number): string {
  let path = '';
  let last = Number.NEGATIVE_INFINITY;
  for (const { peakUs } of swings) {
    const x = xOf(peakUs, window, width);
    if (x - last < MISSED_APART_PX) continue;
    last = x;
    path += `M${inTenths(x - 3.5)} ${y}${MISSED_SHAPE}`;
  }
  return path;
}

/** Looked up when it is asked for, once for each swing pointed at: it takes the detector over the take. */
function showReason(slot: Slot, swing: Swing, x: number, y: number): void {
  const signals = verdicts[slot].peek()?.signals;
  if (!signals) return;
  const settings = candidates[slot].peek().deflection;
  const { reason, fixes } = explainMiss(signals, swing, settings);
  showHint({
    x,
    y,
    title: `Swing at ${formatMoment(swing.peakUs, 2)} missed, candidate ${slot.toUpperCase()}`,
    text: `${missText(reason)}. ${lackOfSwings(settings) ?? remedy(fixes, settings)}`,
  });
}

/** Why no change of a setting can be told from so few swings; null where one can. */
function lackOfSwings(settings: DeflectionSettings): string | null {
  const known = truth.peek();
  const take = openTake.peek()?.document;
  const signals = verdicts.a.peek()?.signals;
  if (!known || !take || !signals) return null;
  const { id, title, performer, revision, useUnfit = false } = take;
  const unfit = whyLeftOut({ id, revision, useUnfit });
  const named = { id, title, performer, unfit, presses: [], labels: openLabels.peek() };
  const decline = declineOn(DEFLECTION, [swingEvidenceOf({ ...named, signals, truth: known }, settings)]);
  return decline && declineWords(decline).text;
}

function remedy(fixes: readonly MissFix[], settings: DeflectionSettings): string {
  if (fixes.length === 0) return 'No change of one setting alone would make it deflect.';
  return `It would deflect with ${fixes.map((fix) => missFixText(fix, settings)).join(', or with ')}.`;
}
