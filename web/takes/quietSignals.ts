import type { GestureDetectorId } from '../../server/engine/detect/detectors.ts';
import type { DialSteps } from '../../server/engine/detect/twistDial.ts';
import type { GestureKind, Labels } from '../../server/engine/labels/labels.ts';
import type { Signals } from '../../server/engine/motion/signals.ts';
import type { Candidate } from '../../server/engine/settings/candidate.ts';

export const FOLDING_STAVES = ['thrust', 'twist', 'impact'] as const;
/** Signals that are shown only where they have anything to say, by the staves that they are drawn on. */
export type FoldingStave = (typeof FOLDING_STAVES)[number];

/** From this part of its threshold on, a signal that never fires is worth a look. */
const NEAR_PART = 0.8;

const DETECTS: Readonly<Record<FoldingStave, readonly [GestureDetectorId, GestureKind]>> = {
  thrust: ['stab', 'thrust'],
  twist: ['twist', 'twist'],
  impact: ['impact', 'hit'],
};

/** How far a signal goes, in the stave's unit; 0 where it only goes the other way. */
export function findMost(
  name: FoldingStave,
  { thrustG, twistDeg, impactG }: Pick<Signals, 'thrustG' | 'twistDeg' | 'impactG'>,
): number {
  switch (name) {
    case 'thrust':
      return highest(thrustG, 1);
    case 'twist':
      return Math.max(highest(twistDeg, 1), highest(twistDeg, -1));
    case 'impact':
      return highest(impactG, 1);
  }
}

/** Without the extremes that the page keeps of its arrays: those of a thread are written again. */
function highest(values: Float64Array, sign: 1 | -1): number {
  let most = 0;
  for (let i = 0; i < values.length; ++i) if (sign * values[i]! > most) most = sign * values[i]!;
  return most;
}

/** What it would have to reach, in the same unit. */
export function levelOf(name: FoldingStave, { stab, twist, impact }: Candidate): number {
  return { thrust: stab.thrustG, twist: twist.angleDeg, impact: impact.impactG }[name];
}

/** What was found in a take's signals. */
interface Found {
  readonly fires: Readonly<Record<GestureDetectorId, Int32Array>>;
  readonly dial: readonly DialSteps[];
  /** How far the signal goes; asked for only where nothing else says that it is worth a look. */
  readonly most: () => number;
}

/** Whether anything is labelled, fires or comes near its threshold, anywhere in the take. */
export function saysAnything(
  name: FoldingStave,
  candidate: Candidate,
  { gestures = [] }: Pick<Labels, 'gestures'>,
  { fires, dial, most }: Found,
): boolean {
  const [detector, gesture] = DETECTS[name];
  if (fires[detector].length > 0 || (name === 'twist' && dial.length > 0)) return true;
  if (gestures.some(({ kind }) => kind === gesture)) return true;
  return most() >= NEAR_PART * levelOf(name, candidate);
}
