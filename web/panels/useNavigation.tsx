import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { GUTTER_LEFT } from '../charts/geometry.ts';
import { bindNavigation, type Navigation } from '../charts/navigate.ts';
import { wholeTake } from '../charts/view.ts';
import { openTake } from '../state/openTake.ts';
import { dispatch, sight } from '../state/store.ts';

type Navigated = Omit<Navigation, 'showBand'>;

/** The window of the open take, which all its views share. */
export const OPEN_TAKE: Navigated = {
  window: () => sight.window.peek() ?? wholeTake(openTake.peek()?.durationUs ?? 0),
  durationUs: () => openTake.peek()?.durationUs ?? 0,
  moveTo: (to) => dispatch({ type: 'windowMoved', window: to }),
};

/**
 * Lets wheel and pointer move a window over a column of staves, from its first painting on.
 * @returns the band of a zoom that is being drawn, to lie in the column.
 */
export function useNavigation(
  column: { readonly current: HTMLElement | null },
  navigated: Navigated,
): JSX.Element | null {
  const [band, setBand] = useState<{ left: number; width: number } | null>(null);
  useEffect(() => {
    if (!column.current) return;
    return bindNavigation(column.current, { ...navigated, showBand: setBand });
  }, []);
  return (
    band && (
      <div
        class="band"
        style={{ left: `calc(var(--card-inset) + ${GUTTER_LEFT + band.left}px)`, width: `${band.width}px` }}
      />
    )
  );
}
