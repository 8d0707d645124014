/** What was mended in a log, or taken for granted so that it can be read. Sentences of it stand in take/words.ts. */
export type Mended =
  | { readonly kind: 'shiftedCodes'; readonly by: number }
  | { readonly kind: 'unsignedCodes'; readonly bits: number }
  /** Lines before which a capture is taken to end, in a log whose rows are counted. */
  | { readonly kind: 'captureEnds'; readonly lines: readonly number[] }
  | { readonly kind: 'counterWraps'; readonly wraps: number; readonly modulus: number }
  | { readonly kind: 'counterLeaps'; readonly column: number; readonly by: number }
  /** `shared` rows have the number of the row before; where hardly any do, its steps are uneven. */
  | { readonly kind: 'counterDoubted'; readonly column: number; readonly shared: number | null }
  /** First and last line of each run. */
  | {
      readonly kind: 'zeroRows';
      readonly rows: number;
      readonly runs: readonly (readonly [number, number])[];
    }
  | { readonly kind: 'absurdRows'; readonly rows: number }
  | { readonly kind: 'bunches'; readonly rows: number; readonly cycleUs: number; readonly meanHz: number }
  | { readonly kind: 'evenSteps'; readonly hz: number; readonly isStated: boolean }
  | { readonly kind: 'cutStamps'; readonly gridUs: number; readonly rows: number }
  | { readonly kind: 'sharedStamps'; readonly stepUs: number; readonly rows: number }
  | { readonly kind: 'joinedRows'; readonly rows: number; readonly interpolated: number }
  | ({ readonly kind: 'joinedFiles' } & JoinedFiles);

/** Two files brought together by time: the base's rows are kept where the other has partners for them. */
export interface JoinedFiles {
  readonly base: string;
  readonly other: string;
  /** How much later the other starts. */
  readonly offsetUs: number;
  readonly rows: number;
  readonly interpolated: number;
  /** Rows of the base without a partner, all of them and those at the start. */
  readonly lost: number;
  readonly lostAtStart: number;
  /** Rows of the other that are no partner, where none was interpolated. */
  readonly over: number;
}
