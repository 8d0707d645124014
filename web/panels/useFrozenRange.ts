import { useRef } from 'preact/hooks';
import { isDragging } from '../charts/cursor.ts';

/** A vertical range that stays as it is while a threshold is dragged, so that the line stays under the pointer. */
export function useFrozenRange(low: number, high: number): readonly [number, number] {
  const kept = useRef<readonly [number, number]>([low, high]);
  const [wasLow, wasHigh] = kept.current;
  if (!isDragging.value && (low !== wasLow || high !== wasHigh)) kept.current = [low, high];
  return kept.current;
}
