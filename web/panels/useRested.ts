import { useEffect, useState } from 'preact/hooks';
import { isDragging } from '../charts/cursor.ts';

/** A hand that holds a line still for so long rests, though it has not let go. */
const HELD_STILL_MS = 400;

/**
 * The value once it has stayed for a while, and longer while a line is held; the first one at once.
 * @param first  null has the first one come once it is painted, so that nothing derived from it keeps a view from showing
 */
export function useRested<T>(value: T | null, ms: number, first: T | null = value): T | null {
  const [rested, setRested] = useState(first);
  useEffect(() => {
    const waitMs = isDragging.peek() ? Math.max(ms, HELD_STILL_MS) : ms;
    const timer = setTimeout(() => setRested(() => value), rested === null ? 0 : waitMs);
    return () => clearTimeout(timer);
  }, [value, ms, rested === null, isDragging.value]);
  return rested;
}
