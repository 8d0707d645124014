import { signal } from '@preact/signals';
import { PATIENCE } from '../../server/engine/choose/motion/patience.ts';

/**
 * The evidence by which Sweep judges a guard; null lets the presses decide, where there are enough, and else the
 * motion.
 */
export type Judge = 'presses' | 'motion';

export const judge = signal<Judge | null>(null);

/** How long a performer is taken to wait after a stop before a press. */
export const patienceMs = signal<number>(PATIENCE.default);
