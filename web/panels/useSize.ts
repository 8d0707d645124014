import { useLayoutEffect, useRef, useState } from 'preact/hooks';

/** The size of an element, kept up to date. */
export function useSize(): { ref: { current: HTMLDivElement | null }; width: number; height: number } {
  const ref = useRef<HTMLDivElement>(null);
  const [size, setSize] = useState({ width: 0, height: 0 });
  useLayoutEffect(() => {
    const host = ref.current;
    if (!host) return;
    const measure = (): void => {
      const { clientWidth: width, clientHeight: height } = host;
      // The observer tells of the first size too, which is known by then.
      setSize((was) => (was.width === width && was.height === height ? was : { width, height }));
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(host);
    return () => observer.disconnect();
  }, []);
  return { ref, ...size };
}
