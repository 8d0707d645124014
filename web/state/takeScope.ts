import { signal } from '@preact/signals';
import { chosenTakeId } from './store.ts';

/** Which takes a view looks at: the open one, all of the workspace, or those ticked. */
export type TakeScope =
  | { readonly kind: 'open' }
  | { readonly kind: 'all' }
  | { readonly kind: 'chosen'; readonly ids: ReadonlySet<string> };

/** Shared by the views, so that one looks at what the other did. */
export const takeScope = signal<TakeScope>({ kind: 'open' });

export function isInScope(id: string): boolean {
  const scope = takeScope.value;
  if (scope.kind === 'all') return true;
  return scope.kind === 'open' ? chosenTakeId.value === id : scope.ids.has(id);
}
