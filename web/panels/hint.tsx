import { signal } from '@preact/signals';
import { GUTTER_LEFT } from '../charts/geometry.ts';

interface Hint {
  /** From the left of the plots and the top of the lanes, in pixels. */
  readonly x: number;
  readonly y: number;
  readonly title: string;
  readonly text: string;
}

const hint = signal<Hint | null>(null);

/** Shows a sentence beside the mark under the pointer; null takes it away. */
export function showHint(to: Hint | null): void {
  hint.value = to;
}

/** The words about the mark under the pointer. */
export function MarkHint() {
  if (!hint.value) return null;
  const { x, y, title, text } = hint.value;
  return (
    <div class="hint" role="tooltip" style={{ left: `${x + GUTTER_LEFT}px`, top: `${y + 14}px` }}>
      <b>{title}</b>
      <span>{text}</span>
    </div>
  );
}
