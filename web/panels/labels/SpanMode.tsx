import { GUTTER_LEFT, GUTTER_RIGHT } from '../../charts/geometry.ts';
import { addMarked, draftSpan, markMiddle, spanKind, spanMode } from '../../state/labelWalk.ts';
import type { TimeWindow } from '../../state/model.ts';
import { openLabels, openTake } from '../../state/openTake.ts';
import { dragSpan } from './dragSpan.ts';
import { kindName, OFFERED_KINDS } from './words.ts';

/** Lies over the staves while spans are labelled: a drag marks one. The wheel still zooms. */
export function SpanOverlay({ window }: { readonly window: TimeWindow }) {
  if (!spanMode.value) return null;
  const draft = draftSpan.value;
  const part = (us: number) => `${((us - window.startUs) / (window.endUs - window.startUs)) * 100}%`;
  return (
    <div
      class="span-overlay"
      data-plot
      style={{
        left: `calc(var(--card-inset) + ${GUTTER_LEFT}px)`,
        right: `calc(var(--card-inset) + ${GUTTER_RIGHT}px)`,
      }}
      onPointerDown={(event) => {
        const { left, width } = event.currentTarget.getBoundingClientRect();
        const kind = spanKind.peek();
        dragSpan(event, {
          window,
          left,
          width,
          durationUs: openTake.peek()?.durationUs ?? 0,
          onDraft: (span) => (draftSpan.value = span && { ...span, kind }),
          onDone: (span) => addMarked(kind, span),
        });
      }}
    >
      {draft && (
        <div
          class="span-draft"
          style={{ left: part(draft.startUs), width: `calc(${part(draft.endUs)} - ${part(draft.startUs)})` }}
        >
          <span>{kindName(draft.kind)}</span>
        </div>
      )}
    </div>
  );
}

/** Stands in the place of the legend while spans are labelled. */
export function SpanModeBar() {
  return (
    <div class="span-mode" role="group" aria-label="Label spans">
      <b>Drag across the staves to label</b>
      <KindChoice />
      <button
        type="button"
        class="small"
        title="Enter; its ends are typed in the bar then"
        onClick={markMiddle}
      >
        Label the middle
      </button>
      <button type="button" class="small" onClick={() => (spanMode.value = false)} title="Escape, or L">
        Done
      </button>
    </div>
  );
}

/** The kind of the spans to come: one of the usual, one that the take has already, or a drill's name. */
export function KindChoice() {
  const drill = openTake.value?.document.drill ?? '';
  const used = openLabels.value.spans.map((span) => span.kind);
  const kinds = [...new Set([...OFFERED_KINDS, ...used, ...(drill === '' ? [] : [drill]), spanKind.value])];
  return (
    <span class="kind-choice">
      <select
        aria-label="Kind of span"
        value={spanKind.value}
        onChange={(event) => (spanKind.value = event.currentTarget.value)}
      >
        {kinds.map((kind) => (
          <option key={kind} value={kind}>
            {kindName(kind)}
          </option>
        ))}
      </select>
      <input
        type="text"
        placeholder="or a drill"
        aria-label="A drill’s name to label spans with"
        maxLength={200}
        onInput={(event) => {
          const name = event.currentTarget.value.trim();
          if (name !== '') spanKind.value = name;
        }}
        onKeyDown={(event) => {
          if (event.key !== 'Enter' && event.key !== 'Escape') return;
          event.preventDefault();
          event.currentTarget.blur();
        }}
        onBlur={(event) => {
          event.currentTarget.value = '';
        }}
      />
    </span>
  );
}
