/** Part of a stave's height that a threshold keeps free beyond it: its tag has to find room there. */
const TAG_PART = 0.2;

/** The top of a range from `low` that reaches at least `least` and leaves room for the tag of a threshold at `level`. */
export function topFor(low: number, level: number, least: number): number {
  return Math.max(least, level + ((level - low) * TAG_PART) / (1 - TAG_PART));
}

/** The reach of a range about zero that does the same on both sides. */
export function reachFor(level: number, least: number): number {
  return Math.max(least, level / (1 - 2 * TAG_PART));
}
