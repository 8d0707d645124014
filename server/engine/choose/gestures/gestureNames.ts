import type { GestureMapKind } from './maps.ts';

/** What a map's gestures and fires are called, and how its setting reads in short. */
export interface GestureWords {
  readonly one: string;
  readonly several: string;
  /** What fires. */
  readonly fire: string;
  readonly fires: string;
  /** What to record, and how to label it. */
  readonly record: string;
  setting(x: number, y: number): string;
  /** The same for a table. */
  brief(x: number, y: number): string;
}

export const GESTURE_WORDS: Readonly<Record<GestureMapKind, GestureWords>> = {
  stab: {
    one: 'thrust',
    several: 'thrusts',
    fire: 'stab',
    fires: 'stabs',
    record:
      'Record thrusts into a pad as you do on stage, gentle ones and hard ones, with swings and parries between them, and label each thrust in Tune.',
    setting: (x, y) => `${x} g after ${y} ms of quiet`,
    brief: (x, y) => `${x} g · ${y} ms`,
  },
  impact: {
    one: 'hit',
    several: 'hits',
    fire: 'impact',
    fires: 'impacts',
    record:
      'Record hits as you do on stage, light ones and hard ones, with fast swings that meet nothing between them, and label each hit in Tune.',
    setting: (x, y) => `${x} g, rising ${y} g per 100\u00a0°/s`,
    brief: (x, y) => `${x} g · ${y} g`,
  },
  twist: {
    one: 'twist',
    several: 'twists',
    fire: 'trigger',
    fires: 'triggers',
    record:
      'Record twists as you do on stage, slow ones and quick ones, with swings and a carry between them, and label each twist in Tune.',
    setting: (x, y) => `${x}° within ${y} ms`,
    brief: (x, y) => `${x}° · ${y} ms`,
  },
};
