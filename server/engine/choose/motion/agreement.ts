import type { GuardSettings } from '../../detect/guard.ts';
import { decisionUs } from '../../detect/presses.ts';
import { intentOf } from '../../labels/labels.ts';
import type { Outcome } from '../cost.ts';
import { GUARD_RULES, type GuardSetting } from '../heldOut.ts';
import { leaveOut, type Part } from '../leaveOut.ts';
import type { Suggestion } from '../suggest.ts';
import type { ChoiceTake, GuardGrid } from '../takeSweep.ts';
import { motionUnits } from './motionUnits.ts';

/** Labelled presses that a setting gets wrong. */
export interface PressesWrong {
  readonly strays: Part;
  readonly wanted: Part;
}

/** How a choice by motion alone does on the presses that there are, beside a choice by these. */
export interface Agreement {
  readonly byMotion: GuardSetting & PressesWrong;
  /** null where the presses are no evidence to choose by. */
  readonly byPresses: (GuardSetting & PressesWrong) | null;
  /** On each take's presses, chosen on the motion, or the presses, of the others; null where that cannot be. */
  readonly leftOut: { readonly byMotion: PressesWrong; readonly byPresses: PressesWrong | null } | null;
  /** Of the wanted presses that follow a stop within a second, those that come before the patience is over. */
  readonly soon: Part;
}

export interface AgreementPart {
  readonly key: string;
  readonly pressed: GuardGrid;
  /** null where the take's motion does not count. */
  readonly moved: GuardGrid | null;
  readonly soon: Part;
}

/**
 * @param pressed  the sum of the takes' maps by presses. @param byPresses  the choice on it, null where there is none.
 * @returns null where no press is labelled.
 */
export function findAgreement(
  byMotion: Suggestion,
  byPresses: Suggestion | null,
  pressed: GuardGrid,
  parts: readonly AgreementPart[],
): Agreement | null {
  if (pressed.strays + pressed.wanted === 0) return null;
  const at = ({ speedDps, holdMs, cell }: Suggestion) => ({ speedDps, holdMs, ...wrongAt(pressed, cell) });
  return {
    byMotion: at(byMotion),
    byPresses: byPresses && at(byPresses),
    leftOut: leftOutOf(parts, byPresses !== null),
    soon: {
      k: parts.reduce((sum, { soon }) => sum + soon.k, 0),
      n: parts.reduce((sum, { soon }) => sum + soon.n, 0),
    },
  };
}

function wrongAt(grid: GuardGrid, cell: number): PressesWrong {
  return {
    strays: { k: grid.strayLetThrough[cell]!, n: grid.strays },
    wanted: { k: grid.wantedRefused[cell]!, n: grid.wanted },
  };
}

interface Pair {
  readonly pressed: Outcome;
  readonly chosenBy: Outcome;
}

/** Chosen on all takes but one, scored on that one's presses; only takes whose motion counts. */
function leftOutOf(parts: readonly AgreementPart[], withPresses: boolean): Agreement['leftOut'] {
  const both = parts.flatMap(({ key, pressed, moved }) => (moved === null ? [] : [{ key, pressed, moved }]));
  const held = (of: (part: (typeof both)[number]) => GuardGrid): PressesWrong | null => {
    const pairs = both.map((part) => ({
      key: part.key,
      name: part.key,
      grid: { pressed: part.pressed, chosenBy: of(part) },
    }));
    const found = leaveOut(pairs, PAIR_RULES);
    // Where the others never sufficed to choose by, nothing was judged.
    return found !== null && found.strays.n + found.wanted.n > 0 ? found : null;
  };
  const byMotion = held(({ moved }) => moved);
  if (byMotion === null) return null;
  return { byMotion, byPresses: withPresses ? held(({ pressed }) => pressed) : null };
}

const { sum, without, lackOf, choose, sizeOf } = GUARD_RULES;

const PAIR_RULES = {
  names: ['strays', 'wanted'],
  sum: (grids: readonly Pair[]) => ({
    pressed: sum(grids.map(({ pressed }) => pressed)),
    chosenBy: sum(grids.map(({ chosenBy }) => chosenBy)),
  }),
  without: (total: Pair, own: Pair) => ({
    pressed: own.pressed,
    chosenBy: without(total.chosenBy, own.chosenBy),
  }),
  lackOf: ({ chosenBy }: Pair) => lackOf(chosenBy),
  choose: ({ chosenBy }: Pair) => choose(chosenBy),
  sizeOf: ({ pressed }: Pair, name: 'strays' | 'wanted') => sizeOf(pressed, name),
  wrongAt: ({ pressed }: Pair, name: 'strays' | 'wanted', cell: number) =>
    GUARD_RULES.wrongAt(pressed, name, cell),
  badness: ({ strays, wanted }: PressesWrong) => [strays.k + wanted.k],
} as const;

/** How many of a take's wanted presses come within a second after a stop, and how many of these within the patience. */
export function soonPresses(take: ChoiceTake, base: GuardSettings, patienceMs: number): Part {
  const { stopsUs } = motionUnits(take.truth, take.labels, take.signals);
  let [k, n] = [0, 0];
  for (const press of take.presses) {
    const momentUs = decisionUs(press, base);
    if (momentUs === null || intentOf(take.labels, press)?.intent !== 'wanted') continue;
    const afterUs = Math.min(...stopsUs.map((us) => (us <= momentUs ? momentUs - us : Infinity)));
    if (afterUs >= 1e6) continue;
    ++n;
    if (afterUs < patienceMs * 1000) ++k;
  }
  return { k, n };
}
