import { signal } from '@preact/signals';

const query = matchMedia('(prefers-reduced-motion: reduce)');

/** Whether the system asks for less motion: then nothing plays, and one steps from still to still. */
export const stillsOnly = signal(query.matches);

query.addEventListener('change', () => {
  stillsOnly.value = query.matches;
});
