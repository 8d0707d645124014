import { useLayoutEffect, useRef, useState } from 'preact/hooks';

/** The size of an element, kept up to date. */
export function useSize(): { ref: { current: HTMLDivElement | null }; width: number; height: number } {
  const ref = useRef<HTMLDivElement>(null);
  const [size, setSize] = useState({ width: 0, height: 0 });
  useLayoutEffect(() => {
    const host = ref.current;
    if (!host) return;
    const measure = (): void => setSize({ width: host.clientWidth, height: host.clientHeight });
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(host);
    return () => observer.disconnect();
  }, []);
  return { ref, ...size };
}
