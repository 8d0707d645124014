import { signal } from '@preact/signals';
import type { GestureDetectorId } from '../../../server/engine/detect/detectors.ts';
import type { GestureKind } from '../../../server/engine/labels/labels.ts';
import type { Signals } from '../../../server/engine/motion/signals.ts';
import { highest, lowest } from '../../charts/extremes.ts';
import { openLabels } from '../../state/openTake.ts';
import { candidates } from '../../state/store.ts';
import type { Verdicts } from '../../state/verdicts.ts';

export const FOLDING_STAVES = ['thrust', 'twist', 'impact'] as const;
export type FoldingStave = (typeof FOLDING_STAVES)[number];

/** Staves that somebody has opened or shut; the others go by whether they have anything to say. */
export const stavesByHand = signal<Readonly<Partial<Record<FoldingStave, boolean>>>>({});

export function setStave(name: FoldingStave, isOpen: boolean): void {
  stavesByHand.value = { ...stavesByHand.peek(), [name]: isOpen };
}

/** From this part of its threshold on, a signal that never fires is worth a look. */
const NEAR_PART = 0.8;

const DETECTS: Readonly<Record<FoldingStave, readonly [GestureDetectorId, GestureKind]>> = {
  thrust: ['stab', 'thrust'],
  twist: ['twist', 'twist'],
  impact: ['impact', 'hit'],
};

/** How far a signal goes over the take, and what it would have to reach, in the stave's unit. */
export function reachOf(
  name: FoldingStave,
  { signals }: Verdicts,
  slot: 'a' | 'b',
): readonly [number, number] {
  const { stab, twist, impact } = candidates[slot].value;
  const most = mostOf(name, signals);
  return [most, { thrust: stab.thrustG, twist: twist.angleDeg, impact: impact.impactG }[name]];
}

const knownMost = new WeakMap<Signals, Partial<Record<FoldingStave, number>>>();

/** Looked for once: of a long take such a signal is not kept while nobody looks at it. */
function mostOf(name: FoldingStave, signals: Signals): number {
  const known = knownMost.get(signals) ?? {};
  const most = known[name] ?? findMost(name, signals);
  knownMost.set(signals, { ...known, [name]: most });
  return most;
}

function findMost(name: FoldingStave, signals: Signals): number {
  switch (name) {
    case 'thrust':
      return highest(signals.thrustG);
    case 'twist':
      return Math.max(highest(signals.twistDeg), -lowest(signals.twistDeg));
    case 'impact':
      return highest(signals.impactG);
  }
}

/** Whether anything is labelled, fires or comes near its threshold, anywhere in the take. */
export function hasToSay(name: FoldingStave, slot: 'a' | 'b', verdict: Verdicts): boolean {
  const [detector, gesture] = DETECTS[name];
  if (verdict.fires[detector].length > 0 || (name === 'twist' && verdict.dial.length > 0)) return true;
  if ((openLabels.value.gestures ?? []).some(({ kind }) => kind === gesture)) return true;
  const [most, level] = reachOf(name, verdict, slot);
  return most >= NEAR_PART * level;
}
