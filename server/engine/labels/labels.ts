import type { Press, Span } from '../base/log.ts';

/** A field of a label: a whole number of µs from the take's start, a text up to a length, or one of a few words. */
export type LabelField = 'us' | { readonly longest: number } | { readonly of: readonly string[] };

/** Who made a label. 'simulation' stands for what a simulated take knows about itself. */
const BY = { of: ['person', 'program', 'simulation'] } as const;
const ENDS = { startUs: 'us', endUs: 'us' } as const;

/** The lists of labels and the fields of a label in each; documents, tables and requests are read by this table. */
export const LABEL_FIELDS = {
  /** The intent of a press: that with the same button and `downUs`. */
  presses: {
    downUs: 'us',
    button: { longest: 1000 },
    intent: { of: ['wanted', 'stray', 'unsure'] },
    by: BY,
  },
  /** The kind is 'spinning', 'still', or a drill's name. */
  spans: { ...ENDS, kind: { longest: 200 }, by: BY },
  swings: { ...ENDS, peakUs: 'us', by: BY },
  /** A thrust is one that meets something with the point; a hit is struck by the blade, or by whatever it meets. */
  gestures: { ...ENDS, kind: { of: ['thrust', 'hit', 'twist'] }, by: BY },
} as const satisfies Readonly<Record<string, Readonly<Record<string, LabelField>>>>;

export type LabelList = keyof typeof LABEL_FIELDS;

type Valued<Field> = Field extends 'us'
  ? number
  : Field extends { readonly of: readonly (infer Word)[] }
    ? Word
    : string;

/** A label of a list, with the fields declared above. */
export type LabelOf<List extends LabelList> = {
  readonly [Name in keyof (typeof LABEL_FIELDS)[List]]: Valued<(typeof LABEL_FIELDS)[List][Name]>;
};

export type PressLabel = LabelOf<'presses'>;
export type SpanLabel = LabelOf<'spans'>;
export type SwingLabel = LabelOf<'swings'>;
export type GestureLabel = LabelOf<'gestures'>;
export type LabelBy = PressLabel['by'];
export type Intent = PressLabel['intent'];
export type GestureKind = GestureLabel['kind'];

export const GESTURE_KINDS = LABEL_FIELDS.gestures.kind.of;

export interface Labels {
  readonly presses: readonly PressLabel[];
  readonly spans: readonly SpanLabel[];
  readonly swings: readonly SwingLabel[];
  /** Missing in documents of takes that were labelled before there were gestures: then there are none. */
  readonly gestures?: readonly GestureLabel[];
}

/** Kinds of spans in which a person says that what looks like a swing, or like another thing that is proposed, is none. */
export const REJECTIONS = {
  swing: 'no swing',
  spinning: 'no spin',
  still: 'no rest',
  thrust: 'no thrust',
  hit: 'no hit',
  twist: 'no twist',
} as const;

export type RejectedKind = keyof typeof REJECTIONS;

export const NO_SWING = REJECTIONS.swing;

export const EMPTY_LABELS: Labels = Object.freeze({
  presses: Object.freeze([]),
  spans: Object.freeze([]),
  swings: Object.freeze([]),
});

/**
 * The label that counts for a press: a person's before a simulation's before the program's; null where there is none.
 */
export function intentOf({ presses }: Pick<Labels, 'presses'>, press: Press): PressLabel | null {
  let byMoment = labelsByMoment.get(presses);
  if (!byMoment) {
    byMoment = inOrderOfRank(presses);
    labelsByMoment.set(presses, byMoment);
  }
  const found = byMoment.get(press.downUs);
  return found?.find(({ button }) => button === press.button) ?? null;
}

/** Every press of a long take asks for its label, and a list of labels is never changed, only replaced. */
const labelsByMoment = new WeakMap<readonly PressLabel[], ReadonlyMap<number, readonly PressLabel[]>>();

/** By the moment of the press, of each button the one that counts first. */
function inOrderOfRank(labels: readonly PressLabel[]): ReadonlyMap<number, readonly PressLabel[]> {
  const byMoment = new Map<number, PressLabel[]>();
  for (const label of labels) {
    const others = byMoment.get(label.downUs);
    if (others) others.push(label);
    else byMoment.set(label.downUs, [label]);
  }
  for (const several of byMoment.values()) several.sort((a, b) => RANK[a.by] - RANK[b.by]);
  return byMoment;
}

const BEST_FIRST: readonly LabelBy[] = ['person', 'simulation', 'program'];

/** Rank of the labellers; the lowest number counts first. */
export const RANK: Readonly<Record<LabelBy, number>> = { person: 0, simulation: 1, program: 2 };

/** Whether a span says where the take spins, by a person or a simulation: the program's own count once they are confirmed. */
export function isGivenSpin({ kind, by }: Pick<SpanLabel, 'kind' | 'by'>): boolean {
  return kind === 'spinning' && by !== 'program';
}

/** Whether a person or a simulation has said where the take spins. */
export function areSpinsGiven({ spans }: Pick<Labels, 'spans'>): boolean {
  return spans.some(isGivenSpin);
}

/** The spinning spans that a person or a simulation gave, in time order, or `proposed` where neither gave any. */
export function spinningSpans(labels: Pick<Labels, 'spans'>, proposed: readonly Span[]): readonly Span[] {
  const given = labels.spans.filter(isGivenSpin);
  return given.length > 0
    ? given.sort((a, b) => a.startUs - b.startUs)
    : withoutRejected(proposed, labels, 'spinning');
}

/** What the program proposes of a kind, without what a person rejected. */
export function withoutRejected<T extends Span>(
  proposed: readonly T[],
  labels: Pick<Labels, 'spans'>,
  kind: RejectedKind,
): T[] {
  const rejected = labels.spans.filter((span) => span.kind === REJECTIONS[kind]);
  return proposed.filter((one) => !rejected.some((span) => overlap(span, one)));
}

/**
 * The gestures of a kind that scores use, in time order: a person's, then a simulation's that overlap none of those,
 * then the program's likewise.
 */
export function settleGestures(labels: Labels, kind: GestureKind): GestureLabel[] {
  const settled: GestureLabel[] = [];
  for (const by of BEST_FIRST) {
    const better = [...settled];
    for (const gesture of labels.gestures ?? []) {
      if (gesture.kind !== kind || gesture.by !== by) continue;
      if (!better.some((other) => overlap(other, gesture))) settled.push(gesture);
    }
  }
  return settled.sort((a, b) => a.startUs - b.startUs || a.endUs - b.endUs);
}

/** Whether two stretches share more than a moment. */
export function overlap(a: Span, b: Span): boolean {
  return a.startUs < b.endUs && b.startUs < a.endUs;
}

/** Labels that the program proposes for a person to confirm, in time order; none where a label stands already. */
export interface Proposals {
  readonly strays: readonly PressLabel[];
  readonly spinning: readonly SpanLabel[];
  readonly still: readonly SpanLabel[];
  readonly swings: readonly SwingLabel[];
  readonly gestures: readonly GestureLabel[];
}
