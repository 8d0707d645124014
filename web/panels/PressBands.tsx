import { xOf } from '../charts/laneShapes.ts';
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

const BAR_PX = 6;
/** A hint further left would not be all in sight. */
const LEAST_HINT_PX = 80;
/** Of a number above a bar. */
const DIGIT_PX = 7;

/** Presses that would lie on one another: bars split by fate, the worst first, with the number that went wrong above. */
export function PressBands({ slot, marks, window, width, y }: PressBandsProps) {
  return (
    <g class={slot === 'b' ? 'is-b' : undefined} data-bands={slot}>
      {bandsOf(marks, window, width).map((band, place) => {
        const left = Math.max(0, xOf(band.startUs, window, width));
        const right = Math.min(width, xOf(band.endUs, window, width));
        return right - left < 1 ? null : <BandMark key={place} band={band} left={left} right={right} y={y} />;
      })}
    </g>
  );
}

function BandMark({
  band,
  left,
  right,
  y,
}: {
  readonly band: Band;
  readonly left: number;
  readonly right: number;
  readonly y: number;
}) {
  const width = Math.max(1, right - left - 2);
  let from = left;
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: the press bar is the keyboard's way to every press
    <g
      class="press-band"
      data-mark
      data-total={band.total}
      data-wrong={band.wrong}
      onPointerEnter={() =>
        showHint({ x: Math.max(left, LEAST_HINT_PX), y, title: bandTitle(band), text: bandText(band) })
      }
      onPointerLeave={() => showHint(null)}
      onClick={() => zoomTo(band)}
    >
      <rect class="band-ground" x={left} y={y - 10} width={width} height={20} />
      {FATE_ORDER.map((fate) => {
        const part = (width * (band.counts[fate] ?? 0)) / band.total;
        from += part;
        return (
          part > 0 && (
            <rect key={fate} class={`is-${fate}`} x={from - part} y={y + 3} width={part} height={BAR_PX} />
          )
        );
      })}
      {band.wrong > 0 && width >= DIGIT_PX * String(band.wrong).length && (
        <text class="band-count" x={left + width / 2} y={y + 1}>
          {band.wrong}
        </text>
      )}
    </g>
  );
}

function zoomTo({ startUs, endUs }: TimeWindow): void {
  showHint(null);
  const durationUs = openTake.peek()?.durationUs ?? 0;
  dispatch({ type: 'windowMoved', window: clampWindow({ startUs, endUs }, durationUs) });
}
