import { useMemo, useRef } from 'preact/hooks';
import type { FireKind, LoggedDecisions } from '../../server/engine/base/decisions.ts';
import type { Agreement, Difference } from '../../server/engine/device/agreement.ts';
import { differenceText } from '../../server/engine/words/device.ts';
import { spanPath, tickPath, xOf } from '../charts/laneShapes.ts';
import { formatMoment } from '../charts/stave.ts';
import { deviceAgreement } from '../state/device.ts';
import type { Slot, TimeWindow } from '../state/model.ts';
import { openDecisions } from '../state/openTake.ts';
import { sight } from '../state/store.ts';
import { GestureMark } from './GestureMarks.tsx';
import { showHint } from './hint.tsx';

const PROP_ROW = 34;
const DIFFERENCE_ROW = 15;
const MARK_PX = 8;
const APART_PX = 4;
const GESTURES = ['stab', 'impact', 'twist'] as const satisfies readonly FireKind[];

/** An unequal sign, about the origin. */
export const DIFFERENCE_SHAPE = 'M-4 -2H4M-4 2H4M-2.5 5L2.5 -5';

/** How high the prop's own lanes are; 0 for a take that does not tell what its prop decided. */
export function deviceHeight(): number {
  if (openDecisions.value === null) return 0;
  return PROP_ROW + DIFFERENCE_ROW * (sight.showB.value ? 2 : 1);
}

/** The names of these lanes, each with the height of its middle. */
export function deviceLaneNames(top: number): [string, number][] {
  if (openDecisions.value === null) return [];
  const row = (at: number) => top + PROP_ROW + DIFFERENCE_ROW * at;
  return [
    ['On the prop', top + PROP_ROW / 2],
    ...(sight.showB.value
      ? ([
          ['Differs from A', row(0.5)],
          ['Differs from B', row(1.5)],
        ] as [string, number][])
      : ([['Differs', row(0.5)]] as [string, number][])),
  ];
}

interface LaneProps {
  readonly window: TimeWindow;
  readonly width: number;
  readonly top: number;
}

/** What the prop itself decided, and where that is not what the bench says. */
export function DeviceLane(lane: LaneProps) {
  const logged = openDecisions.value;
  const a = deviceAgreement.a.value;
  const b = sight.showB.value ? deviceAgreement.b.value : null;
  if (!logged) return null;
  const { top } = lane;
  return (
    <g data-lane="device">
      <Decided logged={logged} {...lane} />
      {a && <Differences slot="a" agreement={a} {...lane} top={top + PROP_ROW} />}
      {b && <Differences slot="b" agreement={b} {...lane} top={top + PROP_ROW + DIFFERENCE_ROW} />}
    </g>
  );
}

/** A threshold that is dragged leaves it as it is. */
function Decided({ logged, window, width, top }: LaneProps & { readonly logged: LoggedDecisions }) {
  return useMemo(() => {
    const { guardClosed, refusedUs, fires } = logged;
    const at = (kind: FireKind, sign = 1) =>
      (fires ?? []).filter((own) => own.kind === kind && own.steps * sign > 0).map(({ atUs }) => atUs);
    const inSight = (atUs: number) => atUs >= window.startUs && atUs <= window.endUs;
    return (
      <g>
        <path
          class="lane-guard"
          data-device="guard"
          d={spanPath(guardClosed ?? [], window, width, top + 4, 11)}
        >
          <title>The prop's guard closed, as it logged it</title>
        </path>
        {(refusedUs ?? []).filter(inSight).map((atUs) => (
          <rect
            key={atUs}
            class="mark mark-refused"
            data-device="refused"
            x={xOf(atUs, window, width) - 4.5}
            y={top + 5}
            width={9}
            height={9}
          >
            <title>The prop refused a press</title>
          </rect>
        ))}
        <path
          class="lane-deflection"
          data-device="deflection"
          d={tickPath(at('deflection'), window, width, top + 18, top + 32)}
        />
        <path
          class="dial-ticks"
          data-device="dial"
          d={`${tickPath(at('dial'), window, width, top + 20, top + 25)}${tickPath(at('dial', -1), window, width, top + 26, top + 31)}`}
        />
        {GESTURES.map((kind) => (
          <g key={kind} data-device={kind}>
            {at(kind)
              .filter(inSight)
              .map((atUs) => (
                <g key={atUs} transform={`translate(${xOf(atUs, window, width)} ${top + 25})`}>
                  <GestureMark id={kind} />
                </g>
              ))}
          </g>
        ))}
      </g>
    );
  }, [logged, window, width, top]);
}

/** All marks are one path, however many: what one of them means is looked up where the pointer is. */
function Differences({
  slot,
  agreement,
  window,
  width,
  top,
}: LaneProps & { readonly slot: Slot; readonly agreement: Agreement }) {
  const pointed = useRef<Difference | null>(null);
  const y = top + DIFFERENCE_ROW / 2;
  const x = ({ atUs }: Difference) => xOf(atUs, window, width);
  const inSight = agreement.differences.filter(({ atUs }) => atUs >= window.startUs && atUs <= window.endUs);
  const show = (own: Difference | null): void => {
    if (pointed.current === own) return;
    pointed.current = own;
    const title = (at: Difference) => `At ${formatMoment(at.atUs, 3)}, candidate ${slot.toUpperCase()}`;
    showHint(own && { x: x(own), y, title: title(own), text: differenceText(own) });
  };
  const point = (event: PointerEvent): void => {
    const left = event.clientX - (event.currentTarget as Element).getBoundingClientRect().left;
    const nearest = inSight.reduce((best, own) =>
      Math.abs(x(own) - left) < Math.abs(x(best) - left) ? own : best,
    );
    show(Math.abs(x(nearest) - left) > MARK_PX ? null : nearest);
  };
  if (inSight.length === 0) return null;
  return (
    <g data-lane={`differs-${slot}`} data-count={inSight.length}>
      <path class="lane-differs" d={marksAt(inSight.map(x), y)} />
      <rect
        class="reach"
        data-mark
        y={top}
        width={width}
        height={DIFFERENCE_ROW}
        onPointerMove={point}
        onPointerLeave={() => show(null)}
      />
    </g>
  );
}

/** Marks that would lie on one another are drawn once. */
function marksAt(xs: readonly number[], y: number): string {
  let path = '';
  let last = Number.NEGATIVE_INFINITY;
  for (const x of xs) {
    if (x - last < APART_PX) continue;
    last = x;
    const px = x.toFixed(1);
    path += `M${px} ${y}m-4 -2h8m-8 4h8m-6.5 3l5 -10`;
  }
  return path;
}
