import { signal } from '@preact/signals';
import type { Signals } from '../../../server/engine/motion/signals.ts';
import { readyMost } from '../../state/longTake.ts';
import { openLabels } from '../../state/openTake.ts';
import { candidates } from '../../state/store.ts';
import type { Verdicts } from '../../state/verdicts.ts';
import { type FoldingStave, findMost, levelOf, saysAnything } from '../../takes/quietSignals.ts';

/** Staves that somebody has opened or shut; the others go by whether they have anything to say. */
export const stavesByHand = signal<Readonly<Partial<Record<FoldingStave, boolean>>>>({});

export function setStave(name: FoldingStave, isOpen: boolean): void {
  stavesByHand.value = { ...stavesByHand.peek(), [name]: isOpen };
}

/** How far a signal goes over the take, and what it would have to reach, in the stave's unit. */
export function reachOf(
  name: FoldingStave,
  { signals }: Verdicts,
  slot: 'a' | 'b',
): readonly [number, number] {
  return [mostOf(name, signals), levelOf(name, candidates[slot].value)];
}

const knownMost = new WeakMap<Signals, Partial<Record<FoldingStave, number>>>();

/** Looked for once: of a long take such a signal is not kept while nobody looks at it. */
function mostOf(name: FoldingStave, signals: Signals): number {
  const known = knownMost.get(signals) ?? readyMost(signals) ?? {};
  const most = known[name] ?? findMost(name, signals);
  knownMost.set(signals, { ...known, [name]: most });
  return most;
}

/** Whether anything is labelled, fires or comes near its threshold, anywhere in the take. */
export function hasToSay(name: FoldingStave, slot: 'a' | 'b', verdict: Verdicts): boolean {
  const { signals, fires, dial } = verdict;
  return saysAnything(name, candidates[slot].value, openLabels.value, {
    fires,
    dial,
    most: () => mostOf(name, signals),
  });
}
