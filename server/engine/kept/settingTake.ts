import type { Press } from '../base/log.ts';
import type { GestureTake } from '../choose/gestures/take.ts';
import type { Truth } from '../truth/truth.ts';

/** A take as a setting is judged on it; its signals are computed with the setting. */
export interface SettingTake extends GestureTake {
  readonly truth: Truth;
  /** Those of the button that the guard judges; `presses` are all. */
  readonly powerPresses: readonly Press[];
}
