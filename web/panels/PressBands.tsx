import { useMemo, useState } from 'preact/hooks';
import { inTenths, xOf } from '../charts/laneShapes.ts';
import { clampWindow } from '../charts/view.ts';
import type { Fate } from '../state/fate.ts';
import { FATE_ORDER, type MarksInSight } from '../state/judgedMarks.ts';
import type { Slot, TimeWindow } from '../state/model.ts';
import { openTake } from '../state/openTake.ts';
import { dispatch } from '../state/store.ts';
import { showHint } from './hint.tsx';
import { type Digits, digitPx, placeDigits } from './tune/countDigits.ts';
import { type Band, bandsOf, bandText, bandTitle } from './tune/crowd.ts';

interface PressBandsProps {
  readonly slot: Slot;
  readonly marks: MarksInSight;
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

interface Bars {
  readonly placed: readonly Placed[];
  /** A path a fate, of the rectangles that tell its part of each band. */
  readonly paths: Readonly<Partial<Record<Fate, string>>>;
  readonly wrong: Digits;
}

const BAR_PX = 6;
const ROW_PX = 20;
/** A hint further left would not be all in sight. */
const LEAST_HINT_PX = 80;

/**
 * Presses that would lie on one another: bars split by fate, the worst first, with the number that went wrong above. One
 * path a fate and one text, however many bands: which one the pointer is on is looked up.
 */
export function PressBands({ slot, marks, window, width, y }: PressBandsProps) {
  const [pointed, setPointed] = useState<number | null>(null);
  const { placed, paths, wrong } = useMemo(
    () => barsOf(place(bandsOf(marks, window, width), window, width), y + 3),
    [marks, window, width, y],
  );
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
      {FATE_ORDER.map((fate) => (
        <path key={fate} class={`is-${fate}`} d={paths[fate] ?? ''} />
      ))}
      <text class="band-count" x={wrong.x} y={y + 1}>
        {wrong.text}
      </text>
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

/** @param top  of the bars */
function barsOf(placed: readonly Placed[], top: number): Bars {
  const paths: Partial<Record<Fate, string>> = {};
  for (const { band, left, width } of placed) {
    const perPress = width / band.total;
    let from = left;
    for (const fate of FATE_ORDER) {
      const count = band.counts[fate];
      if (count === undefined) continue;
      const bar = `M${inTenths(from)} ${top}h${inTenths(perPress * count)}v${BAR_PX}H${inTenths(from)}z`;
      paths[fate] = (paths[fate] ?? '') + bar;
      from += perPress * count;
    }
  }
  const wrong = placed.filter(({ band }) => band.wrong > 0);
  const numbers = wrong.map(({ band, left, width }) => ({
    value: band.wrong,
    middle: left + width / 2,
    width,
  }));
  return { placed, paths, wrong: placeDigits(numbers, digitPx()) };
}

function hintOf({ band, left }: Placed, y: number) {
  return { x: Math.max(left, LEAST_HINT_PX), y, title: bandTitle(band), text: bandText(band) };
}

function zoomTo({ startUs, endUs }: TimeWindow): void {
  showHint(null);
  const durationUs = openTake.peek()?.durationUs ?? 0;
  dispatch({ type: 'windowMoved', window: clampWindow({ startUs, endUs }, durationUs) });
}
