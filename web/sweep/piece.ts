import type { TakeContent } from '../../server/engine/kept/takeContent.ts';
import type { TakeReader } from '../takes/reader.ts';
import type { ReversalsJob, SettingsOf, ToChoose } from './jobs.ts';

/** What a job needs of one take: its part of the map, what a choice comes to on it, or its reversals. */
export type Piece =
  | { readonly what: 'part'; readonly job: ToChoose }
  | { readonly what: 'check'; readonly job: ToChoose; readonly at: CheckedAt }
  | { readonly what: 'reversals'; readonly job: SettingsOf<ReversalsJob> };

/** The place in the map that was chosen, and what lies at its borders. */
export interface CheckedAt {
  readonly place: { readonly x: number; readonly y: number };
  readonly borders: readonly unknown[];
}

export interface FoundPiece {
  /** Contradictions of the take's labels, a sentence each. */
  readonly doubts: readonly string[];
  /** Of the kind that was asked for. */
  readonly value: unknown;
}

/** A piece, and the content that its take had by then. */
export interface AnsweredPiece {
  readonly found: FoundPiece;
  readonly content: TakeContent;
}

/** Finds a piece of a job on a take. */
export type FindPiece = (reader: TakeReader, nextId?: string) => Promise<unknown>;
