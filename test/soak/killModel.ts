/** What a workspace has to hold after a kill, as the process that was killed told of it. */
export interface Model {
  readonly takes: Record<
    string,
    { readonly notes: string; readonly sha256: string; readonly isRemoved: boolean }
  >;
  readonly uploads: Record<string, string>;
  readonly settings: Record<string, { readonly note: string; readonly isRemoved: boolean }>;
  /** Revision and the guard's speed of candidate A. */
  candidates: { readonly revision: number; readonly speedDps: number };
  /** File names for which corrected columns are remembered. */
  readonly remembered: string[];
  /** Bytes of each recording's log that were received. */
  readonly recordings: Record<string, number>;
  /** How many takes the zip that was written last holds; null for none. */
  exported: number | null;
}

export const EMPTY_MODEL: Model = {
  takes: {},
  uploads: {},
  settings: {},
  candidates: { revision: 0, speedDps: 0 },
  remembered: [],
  recordings: {},
  exported: null,
};

export const KINDS = [
  'upload',
  'add',
  'change',
  'remove',
  'restore',
  'reread',
  'candidates',
  'keep',
  'putSetting',
  'removeSetting',
  'restoreSetting',
  'remember',
  'export',
  'import',
  'record',
] as const;
export type Kind = (typeof KINDS)[number];

/** What was begun; `about` is the id of what it changes, or '' where it makes something new. */
export interface Begun {
  readonly kind: Kind;
  readonly about: string;
  /** What would stand there afterwards, where that is a text. */
  readonly after: string;
}

/** A line of the process's standard output: what it begins, or all there is once that is done. */
export type Line = { readonly begun: Begun } | { readonly done: Kind; readonly model: Model };
