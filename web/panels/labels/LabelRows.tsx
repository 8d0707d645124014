import type { Span } from '../../../server/engine/base/log.ts';
import type { LabelItem } from '../../../server/engine/labels/labelsEdit.ts';
import { type Spans, spanPath, xOf } from '../../charts/laneShapes.ts';
import {
  addMarked,
  chooseItem,
  chosenItem,
  draftSpan,
  kindOf,
  labelItems,
  moveChosen,
} from '../../state/labelWalk.ts';
import type { TimeWindow } from '../../state/model.ts';
import { openTake } from '../../state/openTake.ts';
import { spinning } from '../../state/verdicts.ts';
import { dragSpan } from './dragSpan.ts';
import { itemsInSight } from './itemsInSight.ts';
import { labelLooks } from './labelLooks.ts';
import { gesturePath, swingPath } from './labelShapes.ts';
import { StopMarks } from './StopMarks.tsx';

/** Heights of the two rows of labels at the top of the lanes. */
export const SPIN_ROW = 14;
export const LABEL_ROW = 16;

interface RowProps {
  readonly window: TimeWindow;
  readonly width: number;
  readonly top: number;
}

/** Where spins are: drag to label one, click one to choose it. */
export function SpinRow({ window, width, top }: RowProps) {
  const { spans, areProposed } = spinning.value;
  return (
    <g>
      <Ground
        top={top}
        width={width}
        height={SPIN_ROW}
        title="Drag here to label a spin"
        onDown={(event) => drawOrChoose(event, window, 'spinning')}
      />
      <path
        class={`lane-spin ${areProposed ? 'is-proposed' : ''}`}
        data-lane="spinning"
        d={spanPath(spans, window, width, top + 4, 6)}
      />
      <StopMarks window={window} width={width} top={top + 2} />
      <Marked
        window={window}
        width={width}
        top={top + 1}
        height={SPIN_ROW - 2}
        isRow={(kind) => kind === 'spinning'}
      />
    </g>
  );
}

/** Swings, rests, drills and gestures: click one to choose it. Proposals are drawn thin. */
export function LabelRow({ window, width, top }: RowProps) {
  const { drills, still, swings, gestures } = labelLooks.value;
  const inSight = (items: readonly LabelItem[]) => itemsInSight(items, window);
  const spans = (items: readonly LabelItem[]): Spans => {
    const shown = inSight(items);
    return { length: shown.length, at: (place) => shown[place]?.label };
  };
  const gesturesInSight = inSight(gestures);
  return (
    <g>
      <Ground
        top={top}
        width={width}
        height={LABEL_ROW}
        title="Labels: click one to choose it"
        onDown={(event) => drawOrChoose(event, window, null)}
      />
      <path class="label-drill" d={spanPath(spans(drills), window, width, top + 2, LABEL_ROW - 4)} />
      {[false, true].map((isProposed) => (
        <g key={String(isProposed)} class={isProposed ? 'is-proposed' : ''}>
          <path
            class="label-still"
            d={spanPath(spans(still[isProposed ? 1 : 0]), window, width, top + LABEL_ROW - 4, 2)}
          />
          <path
            class="label-swing"
            d={swingPath(inSight(swings[isProposed ? 1 : 0]), window, width, top + 2, top + LABEL_ROW - 5)}
          />
        </g>
      ))}
      {[true, false].map((isProposed) => (
        <g key={String(isProposed)} class={isProposed ? 'is-proposed' : ''}>
          {(['thrust', 'hit', 'twist'] as const).map((kind) => (
            <path
              key={kind}
              class={`label-gesture label-${kind}`}
              data-label-kind={kind}
              d={gesturePath(
                kind,
                gesturesInSight.filter((item) => kindOf(item) === kind && item.isProposed === isProposed),
                window,
                width,
                top + LABEL_ROW / 2,
              )}
            />
          ))}
        </g>
      ))}
      <Marked
        window={window}
        width={width}
        top={top + 1}
        height={LABEL_ROW - 2}
        isRow={(kind) => kind !== 'spinning'}
      />
    </g>
  );
}

function Ground(props: {
  top: number;
  width: number;
  height: number;
  title: string;
  onDown(event: PointerEvent): void;
}) {
  return (
    <rect
      class="label-ground"
      y={props.top}
      width={props.width}
      height={props.height}
      onPointerDown={props.onDown}
    >
      <title>{props.title}</title>
    </rect>
  );
}

/** The chosen label with an end to drag on either side, and whatever is being drawn. */
function Marked(props: {
  window: TimeWindow;
  width: number;
  top: number;
  height: number;
  isRow(kind: string): boolean;
}) {
  const { window, width, top, height } = props;
  const item = chosenItem.value;
  const draft = draftSpan.value;
  const shown =
    draft && props.isRow(draft.kind)
      ? draft
      : item && props.isRow(kindOf(item)) && !draft
        ? item.label
        : null;
  if (!shown) return null;
  const [left, right] = [xOf(shown.startUs, window, width), xOf(shown.endUs, window, width)];
  return (
    <g>
      <rect class="label-chosen" x={left} y={top} width={Math.max(1, right - left)} height={height} />
      {!draft &&
        [shown.startUs, shown.endUs].map((us) => (
          <End key={us} us={us} span={shown} {...{ window, width, top, height }} />
        ))}
    </g>
  );
}

function End(props: {
  us: number;
  span: Span;
  window: TimeWindow;
  width: number;
  top: number;
  height: number;
}) {
  const { us, span, window, width } = props;
  const fixedUs = us === span.startUs ? span.endUs : span.startUs;
  return (
    <rect
      class="label-end"
      x={xOf(us, window, width) - 3}
      y={props.top}
      width={6}
      height={props.height}
      onPointerDown={(event) => {
        const item = chosenItem.peek();
        if (!item) return;
        dragSpan(event, {
          ...plotOf(event, window),
          fixedUs,
          onDraft: draw(kindOf(item)),
          onDone: moveChosen,
        });
      }}
    />
  );
}

function drawOrChoose(event: PointerEvent, window: TimeWindow, kind: string | null): void {
  const isRow = (item: LabelItem) => (kind === null ? kindOf(item) !== 'spinning' : kindOf(item) === kind);
  const plot = plotOf(event, window);
  const slackUs = (5 / plot.width) * (window.endUs - window.startUs);
  dragSpan(event, {
    ...plot,
    onDraft: kind === null ? () => {} : draw(kind),
    onDone: kind === null ? () => {} : (span) => addMarked(kind, span),
    onClick: (momentUs) => chooseItem(nearest(labelItems.peek().filter(isRow), momentUs, slackUs)),
  });
}

function draw(kind: string): (span: Span | null) => void {
  return (span) => (draftSpan.value = span && { ...span, kind });
}

/** The rows lie in an SVG that begins where the plots do. */
function plotOf(event: PointerEvent, window: TimeWindow) {
  const svg = (event.currentTarget as SVGElement).ownerSVGElement!;
  const box = svg.getBoundingClientRect();
  return {
    window,
    width: svg.width.baseVal.value,
    left: box.left,
    durationUs: openTake.peek()?.durationUs ?? 0,
  };
}

/** The shortest label that holds a moment, else the nearest within the slack: short ones lie on long ones. */
function nearest(items: readonly LabelItem[], momentUs: number, slackUs: number): LabelItem | null {
  let best: LabelItem | null = null;
  for (const item of items) {
    const { startUs, endUs } = item.label;
    if (momentUs < startUs - slackUs || momentUs > endUs + slackUs) continue;
    if (best === null || endUs - startUs < best.label.endUs - best.label.startUs) best = item;
  }
  return best;
}
