import { signal } from '@preact/signals';

/** On a narrow page the side columns are folded away; this is the one that is pulled out. */
export const pulledPanel = signal<'takes' | 'settings' | null>(null);
