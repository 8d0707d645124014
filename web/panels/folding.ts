import { signal } from '@preact/signals';

/** On a narrow page the side columns are folded away; this is the one that is pulled out. */
export const pulledPanel = signal<'takes' | 'settings' | null>(null);

/** Groups of settings that are folded open, by their hue. */
export const openGroups = signal<ReadonlySet<string>>(new Set());

export function foldGroup(hue: string, isOpen: boolean): void {
  if (openGroups.peek().has(hue) === isOpen) return;
  const groups = new Set(openGroups.peek());
  if (isOpen) groups.add(hue);
  else groups.delete(hue);
  openGroups.value = groups;
}
