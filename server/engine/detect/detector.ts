import type { Segment } from '../base/log.ts';
import type { Setting } from '../base/setting.ts';
import type { GestureKind } from '../labels/labels.ts';
import type { Signals } from '../motion/signals.ts';

/** What stands once of every detector, in its own file. `detectors.ts` lists them all. */
export interface Detector {
  /** Over its settings. */
  readonly title: string;
  readonly name: string;
  readonly settings: Readonly<Record<string, Setting>>;
  /** The first version of a candidate's document that has it, where it is younger than these. */
  readonly since?: number;
}

/** How near a signal came to what is asked of it; NaN where nothing is known. */
export interface Level {
  readonly reached: number;
  readonly asked: number;
}

/**
 * A detector that fires at samples and is scored against the labelled gestures of one kind.
 * @typeParam Groups  the settings that it rests on: its own, and what it takes of others.
 */
export interface GestureDetector<Groups = never, Facts = unknown> extends Detector {
  readonly restsOn: readonly (keyof Groups & string)[];
  readonly gesture: GestureKind;
  readonly names: {
    readonly one: string;
    readonly several: string;
    readonly fire: string;
    readonly fires: string;
  };
  /** Heads its score: how many of the gestures it fired at. */
  readonly scored: string;
  /** Indices of the samples where it fires. */
  run(signals: Signals, groups: Groups): Int32Array;
  /** How near the signal comes within a stretch: where it is not reached, no other setting brings the gesture back. */
  level(signals: Signals, at: Segment, groups: Groups): Level;
  /** What is to be told of a fire; `words/events.ts` tells it. */
  factsOf(signals: Signals, index: number, groups: Groups): Facts;
}

/** The most of `values - part * others` within a stretch, NaN left out; NaN where there is no other. */
export function mostWithin(
  { start, end }: Segment,
  values: Float64Array,
  part = 0,
  others: Float64Array = values,
): number {
  let most = Number.NaN;
  for (let i = start; i < end; ++i) {
    const value = values[i]! - part * others[i]!;
    if (value > most || (Number.isNaN(most) && !Number.isNaN(value))) most = value;
  }
  return most;
}
