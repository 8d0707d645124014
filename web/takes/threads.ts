/** All cores but one, as far as the browser tells of them; each thread holds a hundred megabytes while it works. */
const MOST_THREADS = 8;

/** How many threads work on many takes at once. */
export function threadsFor(cores: number | undefined): number {
  return Math.min(MOST_THREADS, Math.max(1, (cores ?? 2) - 1));
}
