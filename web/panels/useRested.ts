import { useEffect, useState } from 'preact/hooks';

/** The value once it has stayed for a while; the first one at once. */
export function useRested<T>(value: T | null, ms: number): T | null {
  const [rested, setRested] = useState(value);
  useEffect(() => {
    const timer = setTimeout(() => setRested(() => value), rested === null ? 0 : ms);
    return () => clearTimeout(timer);
  }, [value, ms, rested === null]);
  return rested;
}
