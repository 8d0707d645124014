import { signal } from '@preact/signals';

/** The moment under the pointer, in microseconds of the take; null when the pointer is elsewhere. */
export const cursorUs = signal<number | null>(null);

/** True while a threshold is being dragged: charts keep their range, so that the line stays under the pointer. */
export const isDragging = signal(false);
