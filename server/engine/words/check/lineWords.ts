/** Words of a line of the signal check: the finding, what to do about it, and what not to trust until then. */
export type LineWords = readonly [finding: string, advice: string, distrust: string];
