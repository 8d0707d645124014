import type { Span } from '../base/log.ts';
import type { Proposals } from './labels.ts';
import {
  GESTURE_KINDS,
  type GestureKind,
  type GestureLabel,
  type Labels,
  overlap,
  REJECTIONS,
  type RejectedKind,
  type SpanLabel,
  type SwingLabel,
} from './labels.ts';

/** One label that has a beginning and an end, or a proposal of one. */
export type LabelItem =
  | { readonly what: 'swing'; readonly label: SwingLabel; readonly isProposed: boolean }
  | { readonly what: 'span'; readonly label: SpanLabel; readonly isProposed: boolean }
  | { readonly what: 'gesture'; readonly label: GestureLabel; readonly isProposed: boolean };

/** Every function here returns new labels, each list in time order, and leaves the given ones as they are. */

/** All labels with a beginning and an end, and the proposals among them, in time order. */
export function listItems(
  labels: Labels,
  proposals: Pick<Proposals, 'swings' | 'spinning' | 'still' | 'gestures'>,
): LabelItem[] {
  const items: LabelItem[] = [
    ...labels.swings.map((label) => ({ what: 'swing', label, isProposed: false }) as const),
    ...labels.spans.map((label) => ({ what: 'span', label, isProposed: false }) as const),
    ...(labels.gestures ?? []).map((label) => ({ what: 'gesture', label, isProposed: false }) as const),
    ...proposals.swings.map((label) => ({ what: 'swing', label, isProposed: true }) as const),
    ...proposals.gestures.map((label) => ({ what: 'gesture', label, isProposed: true }) as const),
    ...[...proposals.spinning, ...proposals.still].map(
      (label) => ({ what: 'span', label, isProposed: true }) as const,
    ),
  ];
  return items.sort((a, b) => inTime(a.label, b.label));
}

/** Confirms an item as a person's. */
export function confirmItem(labels: Labels, item: LabelItem): Labels {
  return added(without(labels, item), item, {});
}

/** Rejects an item. A label is removed; where something is proposed, a span says from then on that there is none. */
export function rejectItem(labels: Labels, item: LabelItem): Labels {
  if (!item.isProposed) return without(labels, item);
  const { startUs, endUs } = item.label;
  const kind = REJECTIONS[item.what === 'swing' ? 'swing' : (item.label.kind as RejectedKind)];
  return { ...labels, spans: sorted([...labels.spans, { startUs, endUs, kind, by: 'person' }]) };
}

/** Moves an item, which makes it a person's. A swing's peak is given with its ends. */
export function moveItem(labels: Labels, item: LabelItem, to: Span & { readonly peakUs?: number }): Labels {
  return added(without(labels, item), item, to);
}

/**
 * Adds a stretch that a person marked. Stretches of the same kind that it touches are merged with it, except gestures:
 * two hits may follow one another closely.
 */
export function addSpan(labels: Labels, kind: string, span: Span): Labels {
  if (isGesture(kind)) {
    return {
      ...labels,
      gestures: sorted([...(labels.gestures ?? []), { ...endsOf(span), kind, by: 'person' }]),
    };
  }
  const touched = labels.spans.filter((other) => other.kind === kind && touches(other, span));
  const startUs = Math.min(span.startUs, ...touched.map((other) => other.startUs));
  const endUs = Math.max(span.endUs, ...touched.map((other) => other.endUs));
  const others = labels.spans.filter((other) => !touched.includes(other));
  return { ...labels, spans: sorted([...others, { startUs, endUs, kind, by: 'person' }]) };
}

/** Adds a swing and removes those that it overlaps, whoever made them: a person's counts first. */
export function addSwing(labels: Labels, { startUs, endUs, peakUs }: Omit<SwingLabel, 'by'>): Labels {
  const swing: SwingLabel = { startUs, endUs, peakUs, by: 'person' };
  const others = labels.swings.filter((other) => !overlap(other, swing));
  return { ...labels, swings: sorted([...others, swing]) };
}

export type ProposedKind = 'strays' | 'spinning' | 'still' | 'swings' | GestureKind;

/** A person confirms all that is proposed of a kind. */
export function confirmAll(labels: Labels, proposals: Proposals, kind: ProposedKind): Labels {
  switch (kind) {
    case 'strays': {
      const strays = proposals.strays.map((label) => ({ ...label, by: 'person' as const }));
      return { ...labels, presses: [...labels.presses, ...strays].sort((a, b) => a.downUs - b.downUs) };
    }
    case 'swings': {
      const swings = proposals.swings.map((label) => ({ ...label, by: 'person' as const }));
      return { ...labels, swings: sorted([...labels.swings, ...swings]) };
    }
    case 'thrust':
    case 'hit':
    case 'twist': {
      const gestures = proposals.gestures
        .filter((label) => label.kind === kind)
        .map((label) => ({ ...label, by: 'person' as const }));
      return { ...labels, gestures: sorted([...(labels.gestures ?? []), ...gestures]) };
    }
    case 'spinning':
    case 'still': {
      const spans = proposals[kind].map((label) => ({ ...label, by: 'person' as const }));
      return { ...labels, spans: sorted([...labels.spans, ...spans]) };
    }
  }
}

function isGesture(kind: string): kind is GestureKind {
  return GESTURE_KINDS.some((known) => known === kind);
}

function without(labels: Labels, item: LabelItem): Labels {
  if (item.isProposed) return labels;
  switch (item.what) {
    case 'swing':
      return { ...labels, swings: labels.swings.filter((label) => label !== item.label) };
    case 'span':
      return { ...labels, spans: labels.spans.filter((label) => label !== item.label) };
    case 'gesture':
      return { ...labels, gestures: (labels.gestures ?? []).filter((label) => label !== item.label) };
  }
}

function added(labels: Labels, item: LabelItem, to: Partial<Span> & { readonly peakUs?: number }): Labels {
  const by = 'person';
  switch (item.what) {
    case 'swing': {
      const moved = { ...item.label, ...to, by } as const;
      const peakUs = Math.min(Math.max(moved.peakUs, moved.startUs), moved.endUs);
      return { ...labels, swings: sorted([...labels.swings, { ...moved, peakUs }]) };
    }
    case 'span':
      return { ...labels, spans: sorted([...labels.spans, { ...item.label, ...to, by }]) };
    case 'gesture':
      return { ...labels, gestures: sorted([...(labels.gestures ?? []), { ...item.label, ...to, by }]) };
  }
}

function sorted<T extends Span>(labels: readonly T[]): T[] {
  return [...labels].sort(inTime);
}

function inTime(a: Span, b: Span): number {
  return a.startUs - b.startUs || a.endUs - b.endUs;
}

function touches(a: Span, b: Span): boolean {
  return a.startUs <= b.endUs && b.startUs <= a.endUs;
}

function endsOf({ startUs, endUs }: Span): Span {
  return { startUs, endUs };
}
