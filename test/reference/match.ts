/** The most pairs, and of those the least distance, by trying every way to pair each event with nothing or any detection. */
export function referenceMatch(
  refUs: readonly number[],
  detUs: readonly number[],
  toleranceUs: number,
): { count: number; distanceUs: number } {
  const used = detUs.map(() => false);
  let best = { count: 0, distanceUs: 0 };
  const tryFrom = (ref: number, count: number, distanceUs: number): void => {
    if (ref === refUs.length) {
      if (count > best.count || (count === best.count && distanceUs < best.distanceUs))
        best = { count, distanceUs };
      return;
    }
    tryFrom(ref + 1, count, distanceUs);
    detUs.forEach((time, det) => {
      const gapUs = Math.abs(time - refUs[ref]!);
      if (used[det] || gapUs > toleranceUs) return;
      used[det] = true;
      tryFrom(ref + 1, count + 1, distanceUs + gapUs);
      used[det] = false;
    });
  };
  tryFrom(0, 0, 0);
  return best;
}
