import type { FireKind } from '../base/decisions.ts';
import type { Press, UniformLog } from '../base/log.ts';
import { runDeflection } from '../detect/deflection.ts';
import { type GestureDetectorId, gestureDetector, ofEachGesture } from '../detect/detectors.ts';
import { type GuardSettings, runGuard } from '../detect/guard.ts';
import { actWindows, judgedSamples } from '../detect/pressRule.ts';
import { type DialSteps, runTwistDial } from '../detect/twistDial.ts';
import type { Signals } from '../motion/signals.ts';
import type { Candidate } from '../settings/candidate.ts';

/** What fires, a step of the dial up or down being one fire. */
export const FIRE_NAMES = ['deflection', 'impact', 'stab', 'twist', 'dialUp', 'dialDown'] as const;
export type FireName = (typeof FIRE_NAMES)[number];
export type Fires = Readonly<Record<FireName, readonly number[] | null>>;

/** The samples that decisions are told by. */
export type Grid = Pick<UniformLog, 'timeUs' | 'segments' | 'rateHz'>;

/** What a prop decides over a take, on the take's grid. A part is null where nothing tells of it. */
export interface Decisions {
  /** 1 at each sample where the guard is closed. */
  readonly closed: Uint8Array | null;
  /** Of each press of the power button, in their order; null where there is no motion, or no such moment. */
  readonly refused: readonly (boolean | 'bounce' | null)[] | null;
  /**
   * Sample indices, rising; several steps of the dial at one sample stand there several times. null of what nobody knows:
   * deflections, where the log does not tell when their button was held.
   */
  readonly fires: Fires | null;
}

/** Whatever else fires at one sample is told by its detector's name. */
export const KIND_OF: Readonly<Record<FireName, FireKind>> = {
  deflection: 'deflection',
  impact: 'impact',
  stab: 'stab',
  twist: 'twist',
  dialUp: 'dial',
  dialDown: 'dial',
};

/** Computes a part, or has it already: it rests on the signals and on these settings alone. */
export type Part = <Value>(name: string, settings: unknown, compute: () => Value) => Value;

const ANEW: Part = (_name, _settings, compute) => compute();

/** What the bench says that a prop decides. @param presses  of the power button. */
export function benchDecisions(
  signals: Signals,
  presses: readonly Press[],
  candidate: Candidate,
  part: Part = ANEW,
): Decisions & { readonly closed: Uint8Array; readonly fires: Fires } {
  const { guard, deflection, twist } = candidate;
  const closed = part('guard', guard, () => runGuard(signals, guard));
  const gestures = ofEachGesture((id) => {
    const detector = gestureDetector(id);
    const settings = detector.restsOn.map((group) => candidate[group]);
    return part(id, settings, () => detector.run(signals, candidate));
  });
  return {
    closed,
    refused: refusedOf(signals, closed, presses, guard),
    fires: asFires(
      part('deflection', deflection, () => runDeflection(signals, deflection)),
      gestures,
      part('dial', twist, () => runTwistDial(signals, twist)),
    ),
  };
}

export function refusedOf(
  grid: Grid,
  closed: Uint8Array,
  presses: readonly Press[],
  guard: GuardSettings,
): (boolean | 'bounce' | null)[] {
  return actWindows(presses, guard).map((window) => {
    if (window === 'length') return true;
    if (window === 'bounce') return window;
    const samples = typeof window === 'string' ? null : judgedSamples(grid, window);
    return samples && !closed.subarray(samples.first, samples.last + 1).includes(0);
  });
}

export function asFires(
  deflections: Iterable<number> | null,
  gestures: Readonly<Record<GestureDetectorId, Iterable<number>>>,
  dial: readonly DialSteps[],
): Fires {
  const turned = (sign: 1 | -1) =>
    dial.flatMap(({ index, steps }) => Array.from({ length: Math.max(0, sign * steps) }, () => index));
  return {
    deflection: deflections && [...deflections],
    ...ofEachGesture((id) => [...gestures[id]]),
    dialUp: turned(1),
    dialDown: turned(-1),
  };
}
