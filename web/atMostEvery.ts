/**
 * `act` with the value given last, at most once in `everyMs`: at once where so much has passed since it last ran, else as
 * soon as it has. `isLast` does not wait: nothing newer will come.
 */
export function atMostEvery<T>(
  everyMs: number,
  act: (value: T) => void,
): (value: T, isLast?: boolean) => void {
  let actedMs = Number.NEGATIVE_INFINITY;
  let timer: ReturnType<typeof setTimeout> | undefined;
  let latest: T;
  const run = (): void => {
    clearTimeout(timer);
    timer = undefined;
    actedMs = performance.now();
    act(latest);
  };
  return (value, isLast = false) => {
    latest = value;
    const waitMs = isLast ? 0 : actedMs + everyMs - performance.now();
    if (waitMs <= 0) run();
    else timer ??= setTimeout(run, waitMs);
  };
}
