import type { Motion } from './motion.ts';

/** Two candidates are compared at a time. */
const KEPT = 2;

/**
 * What was computed last from a motion, by a key that names all else it depends on: a changed smoothing need not repeat
 * what no smoothing changes. Nothing outlives the motion it belongs to.
 */
export class Remembered<T> {
  private readonly results = new WeakMap<Motion, { readonly key: string; readonly value: T }[]>();

  get(motion: Motion, key: string, compute: () => T): T {
    const kept = this.results.get(motion) ?? [];
    const found = kept.find((result) => result.key === key);
    if (found) return found.value;
    const value = compute();
    this.results.set(motion, [{ key, value }, ...kept].slice(0, KEPT));
    return value;
  }
}
