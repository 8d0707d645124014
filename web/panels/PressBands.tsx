import { useMemo, useState } from 'preact/hooks';
import { inTenths, xOf } from '../charts/laneShapes.ts';
import { clampWindow } from '../charts/view.ts';
import type { Slot, TimeWindow } from '../state/model.ts';
import { openTake } from '../state/openTake.ts';
import { dispatch } from '../state/store.ts';
import { showHint } from './hint.tsx';
import { type Band, bandsOf, bandText, bandTitle, FATE_ORDER } from './tune/crowd.ts';
import type { JudgedMark } from './tune/worst.ts';

interface PressBandsProps {
  readonly slot: Slot;
  readonly marks: readonly JudgedMark[];
  readonly window: TimeWindow;
  readonly width: number;
  /** Of the row's middle. */
  readonly y: number;
}

/** A band with its place in the lane. */
interface Placed {
  readonly band: Band;
  readonly left: number;
  readonly right: number;
  /** Of its bar; the rest of the band is room to the next one. */
  readonly width: number;
}

const BAR_PX = 6;
const ROW_PX = 20;
/** A hint further left would not be all in sight. */
const LEAST_HINT_PX = 80;
/** Of a number above a bar. */
const DIGIT_PX = 7;

/**
 * Presses that would lie on one another: bars split by fate, the worst first, with the number that went wrong above. One
 * path a fate, however many bands: which one the pointer is on is looked up.
 */
export function PressBands({ slot, marks, window, width, y }: PressBandsProps) {
  const [pointed, setPointed] = useState<number | null>(null);
  const placed = useMemo(() => place(bandsOf(marks, window, width), window, width), [marks, window, width]);
  const under = placed.find(({ band }) => band.startUs === pointed);
  const at = (event: PointerEvent | MouseEvent): Placed | undefined => {
    const x = event.clientX - (event.currentTarget as Element).getBoundingClientRect().left;
    return placed.find(({ left, right }) => x >= left && x < right);
  };
  const point = (to: Placed | undefined): void => {
    if ((to?.band.startUs ?? null) === pointed) return;
    setPointed(to?.band.startUs ?? null);
    showHint(to ? hintOf(to, y) : null);
  };
  return (
    <g
      class={`press-bands ${slot === 'b' ? 'is-b' : ''}`}
      data-bands={slot}
      data-totals={placed.map(({ band }) => band.total).join(' ')}
    >
      {under && (
        <rect class="band-ground" x={under.left} y={y - ROW_PX / 2} width={under.width} height={ROW_PX} />
      )}
      {FATE_ORDER.map((fate, order) => (
        <path key={fate} class={`is-${fate}`} d={barsOf(placed, order, y + 3)} />
      ))}
      {placed.map(
        ({ band, left, width }, k) =>
          band.wrong > 0 &&
          width >= DIGIT_PX * String(band.wrong).length && (
            <text key={k} class="band-count" x={inTenths(left + width / 2)} y={y + 1}>
              {band.wrong}
            </text>
          ),
      )}
      {/* biome-ignore lint/a11y/noStaticElementInteractions: the press bar is the keyboard's way to every press */}
      <rect
        class="reach"
        data-mark
        y={y - ROW_PX / 2}
        width={width}
        height={ROW_PX}
        data-on-band={under !== undefined}
        onPointerMove={(event) => point(at(event))}
        onPointerLeave={() => point(undefined)}
        onClick={(event) => {
          const band = at(event)?.band;
          if (band) zoomTo(band);
        }}
      />
    </g>
  );
}

/** Those that can be seen; a window may begin and end within a band. */
function place(bands: readonly Band[], window: TimeWindow, plotWidth: number): Placed[] {
  return bands.flatMap((band) => {
    const left = Math.max(0, xOf(band.startUs, window, plotWidth));
    const right = Math.min(plotWidth, xOf(band.endUs, window, plotWidth));
    return right - left < 1 ? [] : [{ band, left, right, width: Math.max(1, right - left - 2) }];
  });
}

/** The parts of all bars that have one fate, as a path of rectangles. */
function barsOf(placed: readonly Placed[], order: number, top: number): string {
  const [before, fate] = [FATE_ORDER.slice(0, order), FATE_ORDER[order]!];
  let path = '';
  for (const { band, left, width } of placed) {
    const count = band.counts[fate] ?? 0;
    if (count === 0) continue;
    const perPress = width / band.total;
    const from = left + perPress * before.reduce((sum, other) => sum + (band.counts[other] ?? 0), 0);
    path += `M${inTenths(from)} ${top}h${inTenths(perPress * count)}v${BAR_PX}H${inTenths(from)}z`;
  }
  return path;
}

function hintOf({ band, left }: Placed, y: number) {
  return { x: Math.max(left, LEAST_HINT_PX), y, title: bandTitle(band), text: bandText(band) };
}

function zoomTo({ startUs, endUs }: TimeWindow): void {
  showHint(null);
  const durationUs = openTake.peek()?.durationUs ?? 0;
  dispatch({ type: 'windowMoved', window: clampWindow({ startUs, endUs }, durationUs) });
}
