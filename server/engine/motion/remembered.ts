import type { CandidateMotion } from './motion.ts';

/** Results kept for each motion: two candidates are compared at a time. */
const KEPT = 2;

/**
 * The last results computed from a motion, by a key that names everything else they depend on: a change of one setting
 * need not repeat what does not depend on it. Nothing outlives the motion that it belongs to.
 */
export class Remembered<T> {
  private readonly results = new WeakMap<CandidateMotion, { readonly key: string; readonly value: T }[]>();

  get(motion: CandidateMotion, key: string, compute: () => T): T {
    const kept = this.results.get(motion) ?? [];
    const found = kept.find((result) => result.key === key);
    if (found) return found.value;
    const value = compute();
    this.results.set(motion, [{ key, value }, ...kept].slice(0, KEPT));
    return value;
  }
}
