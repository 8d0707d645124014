/** The most pairs, and of those the least distance, by trying every way to pair each event with nothing or any detection. */
export function referenceMatch(
  windows: readonly { readonly fromUs: number; readonly toUs: number; readonly atUs: number }[],
  detUs: readonly number[],
): { count: number; distanceUs: number } {
  const used = detUs.map(() => false);
  let best = { count: 0, distanceUs: 0 };
  const tryFrom = (ref: number, count: number, distanceUs: number): void => {
    if (ref === windows.length) {
      if (count > best.count || (count === best.count && distanceUs < best.distanceUs))
        best = { count, distanceUs };
      return;
    }
    tryFrom(ref + 1, count, distanceUs);
    const { fromUs, toUs, atUs } = windows[ref]!;
    detUs.forEach((time, det) => {
      if (used[det] || time < fromUs || time > toUs) return;
      used[det] = true;
      tryFrom(ref + 1, count + 1, distanceUs + Math.abs(time - atUs));
      used[det] = false;
    });
  };
  tryFrom(0, 0, 0);
  return best;
}
