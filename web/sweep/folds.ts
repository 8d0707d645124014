import type { JobTake } from './jobs.ts';

/** What was found of takes, in the takes' order, whichever was swept first. */
export function inOrder<Found extends { readonly take: JobTake }>(
  found: readonly Found[],
  takes: readonly JobTake[],
): Found[] {
  const places = new Map(takes.map((take, i) => [take, i]));
  return [...found].sort((a, b) => places.get(a.take)! - places.get(b.take)!);
}
