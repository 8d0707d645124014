import { signal } from '@preact/signals';
import { PATIENCE } from '../../server/engine/choose/motion/patience.ts';

/** What Sweep judges a guard by; null lets the presses, where they are evidence enough, and else the motion. */
export type Judge = 'presses' | 'motion';

export const judge = signal<Judge | null>(null);

/** How long a performer is taken to wait after a stop before a press. */
export const patienceMs = signal<number>(PATIENCE.default);
