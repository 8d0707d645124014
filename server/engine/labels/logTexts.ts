import type { Span } from '../base/log.ts';
import type { Labels } from './labels.ts';
import { addSpan } from './labelsEdit.ts';

/** A text that a column of the log holds over some stretches of rows, as whoever recorded it wrote it. */
export interface LogText {
  readonly text: string;
  readonly spans: readonly Span[];
  readonly totalUs: number;
  /** The kind of label that its words mean; null where they mean none that is known. */
  readonly kind: string | null;
  /** Whether a person's labels lie over all of it already. */
  readonly isTaken: boolean;
}

/** Common English words; another language's mean nothing here, and the user says what they are. */
const MEANINGS: readonly (readonly [kind: string, words: RegExp])[] = [
  ['spinning', /\b(spin|spins|spinning|spun|figure[ -]?eight|moulinet)\b/i],
  ['still', /\b(still|rest|resting|idle|stationary|static)\b/i],
  ['thrust', /\b(thrust|thrusts|stab|stabs)\b/i],
  ['hit', /\b(hit|hits|impact|impacts|clash)\b/i],
  ['twist', /\b(twist|twists|roll|rolls)\b/i],
];

/** The texts of a log's column, each with its stretches, in the order in which they come first. */
export function logTexts(spans: readonly (Span & { readonly text: string })[], labels: Labels): LogText[] {
  const byText = new Map<string, Span[]>();
  for (const { text, startUs, endUs } of spans) {
    const own = byText.get(text) ?? [];
    own.push({ startUs, endUs });
    byText.set(text, own);
  }
  const given = [...labels.spans, ...(labels.gestures ?? [])].filter(({ by }) => by === 'person');
  return [...byText].map(([text, own]) => ({
    text,
    spans: own,
    totalUs: own.reduce((sum, { startUs, endUs }) => sum + endUs - startUs, 0),
    kind: MEANINGS.find(([, words]) => words.test(text))?.[0] ?? null,
    isTaken: own.every((span) => given.some((label) => covers(label, span))),
  }));
}

function covers(label: Span, span: Span): boolean {
  return label.startUs <= span.startUs && label.endUs >= span.endUs;
}

/** Labels with a person's label of the kind over each stretch of a text. */
export function takeLogText(labels: Labels, { spans }: Pick<LogText, 'spans'>, kind: string): Labels {
  return spans.reduce((taken, span) => addSpan(taken, kind, span), labels);
}
