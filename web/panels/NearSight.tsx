import type { ComponentChildren } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';

/** A row of the list before any was measured. */
const ROW_PX = 46;
/** What lies this close to the part of the list that can be seen is rendered: a few seconds of arrow keys. */
const NEAR_PX = 1000;

/** Renders rows only while they are near what can be seen of the list, and leaves as much room for them else. */
export function NearSight(props: {
  readonly rows: number;
  /** Whether they are rendered in any case. */
  readonly isKept: boolean;
  /** Selects what scrolls around them. */
  readonly within: string;
  render(): ComponentChildren;
}) {
  const { rows, isKept, within, render } = props;
  const ref = useRef<HTMLDivElement>(null);
  const heightPx = useRef<number | null>(null);
  const [isNear, setIsNear] = useState(false);
  useEffect(() => {
    const element = ref.current!;
    const look = ([entry]: readonly IntersectionObserverEntry[]): void => {
      const isFocused = element.contains(document.activeElement);
      if (element.childElementCount > 0) heightPx.current = element.offsetHeight;
      setIsNear(entry!.isIntersecting || isFocused);
    };
    const observer = new IntersectionObserver(look, {
      root: element.closest(within),
      rootMargin: `${NEAR_PX}px 0px`,
    });
    observer.observe(element);
    return () => observer.disconnect();
  }, [within]);
  const isRendered = isNear || isKept;
  const room = `${heightPx.current ?? rows * ROW_PX}px`;
  return (
    <div ref={ref} style={isRendered ? undefined : { height: room }}>
      {isRendered && render()}
    </div>
  );
}
