/** What a line of the signal check says: what was found, what to do about it, and what of the take not to trust till then. */
export type LineWords = readonly [finding: string, advice: string, distrust: string];
