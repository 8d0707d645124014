import { GESTURE_WORDS } from '../../../server/engine/choose/gestures/gestureNames.ts';
import type { GestureMapKind } from '../../../server/engine/choose/gestures/maps.ts';
import type { GestureGrid } from '../../../server/engine/choose/gestures/take.ts';
import type { Layer } from './layers.ts';

/** Whole milliseconds; before a gesture's labelled start they are negative. */
export function shownMs(ms: number): string {
  const whole = Math.round(ms);
  return `${whole < 0 ? '−' : ''}${Math.abs(whole)} ms`;
}

/** What the map of a detector of gestures shows. */
export function gestureLayers(kind: GestureMapKind): readonly Layer<GestureGrid>[] {
  const { one, several, fires } = GESTURE_WORDS[kind];
  const empty = (grid: GestureGrid) => (grid.gestures === 0 ? `No ${one} is labelled in these takes.` : null);
  const note = ({ others }: GestureGrid) =>
    others === 0 ? `nothing but ${several}: no false one could show` : null;
  const counted = (id: string, name: string, legend: string, of: Layer<GestureGrid>['of']) => {
    return { id, name, legend, isCount: true, of, format: String, note, empty };
  };
  return [
    counted(
      'wrong',
      'Wrong in all',
      `${several} missed or fired at again, and ${fires} outside any`,
      ({ missed, again, outside }) => missed.map((count, i) => count + again[i]! + outside[i]!),
    ),
    counted('missed', 'Missed', `${several} at which nothing fires`, (grid) => grid.missed),
    counted('again', 'Again', `${fires} beyond the first of a ${one}`, (grid) => grid.again),
    counted('outside', 'Outside', `${fires} outside any ${one}`, (grid) => grid.outside),
    {
      id: 'delay',
      name: 'Delay',
      legend: `median delay from the start of a ${one} to its fire, of the slowest take`,
      isCount: false,
      of: (grid) => grid.delayMedianMs,
      format: shownMs,
      empty,
    },
  ];
}
