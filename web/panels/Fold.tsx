import { signal } from '@preact/signals';
import type { ComponentChildren } from 'preact';

/** What is unfolded, by its name: it stays so while views, takes and settings change. */
const unfolded = signal<ReadonlySet<string>>(new Set());

/** What a view says on asking: a name that says what is in it, and the rest behind it. What is folded is not rendered. */
export function Fold(props: {
  readonly name: string;
  /** What it holds, in a word or two. */
  readonly holds?: string;
  readonly class?: string;
  readonly children: ComponentChildren;
}) {
  const { name, holds } = props;
  const isOpen = unfolded.value.has(name);
  return (
    <details
      class={`fold-out ${props.class ?? ''}`}
      open={isOpen}
      onToggle={(event) => remember(name, event.currentTarget.open)}
    >
      <summary>
        {name}
        {holds !== undefined && <span class="quiet"> {holds}</span>}
      </summary>
      {isOpen && props.children}
    </details>
  );
}

function remember(name: string, isOpen: boolean): void {
  if (unfolded.peek().has(name) === isOpen) return;
  const names = new Set(unfolded.peek());
  if (isOpen) names.add(name);
  else names.delete(name);
  unfolded.value = names;
}
