import type { GuardSettings } from '../../detect/guard.ts';
import { actWindows } from '../../detect/pressRule.ts';
import { intentOf } from '../../labels/labels.ts';
import type { TakeEvidence } from '../evidence.ts';
import { GUARD } from '../guardProblem.ts';
import { leaveOut } from '../leaveOut.ts';
import type { KOfN } from '../problem.ts';
import { type Suggestion, suggest } from '../suggest.ts';
import type { ChoiceTake, GuardGrid, GuardPart } from '../takeSweep.ts';
import { motionUnits } from './motionUnits.ts';

/** Labelled presses that a setting gets wrong. */
export interface PressesWrong {
  readonly strays: KOfN;
  readonly wanted: KOfN;
}

interface Place {
  readonly x: number;
  readonly y: number;
}

/** How a choice by motion alone does on the presses that there are, beside a choice by these. */
export interface Agreement {
  readonly byMotion: Place & PressesWrong;
  /** null where the presses are no evidence to choose by. */
  readonly byPresses: (Place & PressesWrong) | null;
  /** On each take's presses, chosen on the motion, or the presses, of the others; null where that cannot be. */
  readonly leftOut: { readonly byMotion: PressesWrong; readonly byPresses: PressesWrong | null } | null;
  /** Wanted presses within a second after a stop that come before the patience is over. */
  readonly soon: KOfN;
}

interface AgreementPart {
  readonly key: string;
  readonly pressed: GuardGrid;
  readonly evidence: TakeEvidence;
  /** null where the take's motion does not count. */
  readonly moved: GuardGrid | null;
  readonly soon: KOfN;
}

/** @param parts  of the takes that are fit. @returns null where no press is labelled. */
export function findAgreement(
  byMotion: Suggestion<GuardPart>,
  parts: readonly AgreementPart[],
): Agreement | null {
  const pressed = GUARD.sum(parts.map((part) => part.pressed));
  if (pressed.sizes.strays + pressed.sizes.wanted === 0) return null;
  const evidence = parts.map((part) => part.evidence);
  const byPresses = suggest(GUARD, pressed, evidence);
  const at = ({ x, y, cell }: Suggestion) => ({ x, y, ...wrongAt(pressed, cell) });
  const isMade = byPresses.kind === 'suggestion';
  return {
    byMotion: at(byMotion),
    byPresses: isMade ? at(byPresses) : null,
    leftOut: leftOutOf(parts, isMade),
    soon: {
      k: parts.reduce((sum, { soon }) => sum + soon.k, 0),
      n: parts.reduce((sum, { soon }) => sum + soon.n, 0),
    },
  };
}

function wrongAt(grid: GuardGrid, cell: number): PressesWrong {
  return {
    strays: { k: grid.wrong.strays[cell]!, n: grid.sizes.strays },
    wanted: { k: grid.wrong.wanted[cell]!, n: grid.sizes.wanted },
  };
}

/** Chosen on all takes but one, scored on that one's presses; only takes whose motion counts. */
function leftOutOf(parts: readonly AgreementPart[], withPresses: boolean): Agreement['leftOut'] {
  const both = parts.flatMap(({ key, pressed, moved }) => (moved === null ? [] : [{ key, pressed, moved }]));
  const held = (of: (part: (typeof both)[number]) => GuardGrid): PressesWrong | null => {
    const found = leaveOut(
      GUARD,
      both.map((part) => ({ key: part.key, name: part.key, grid: of(part), scored: part.pressed })),
    );
    if (found === null) return null;
    const { strays, wanted } = found.wrong;
    // Where the others never sufficed to choose by, nothing was judged.
    return strays.n + wanted.n > 0 ? { strays, wanted } : null;
  };
  const byMotion = held(({ moved }) => moved);
  if (byMotion === null) return null;
  return { byMotion, byPresses: withPresses ? held(({ pressed }) => pressed) : null };
}

/** How many of a take's wanted presses come within a second after a stop, and how many of these within the patience. */
export function soonPresses(take: ChoiceTake, base: GuardSettings, patienceMs: number): KOfN {
  const { stopsUs } = motionUnits(take.truth, take.labels, take.signals);
  let [k, n] = [0, 0];
  const windows = actWindows(take.presses, base);
  for (const [i, press] of take.presses.entries()) {
    const window = windows[i]!;
    const momentUs = typeof window === 'string' ? null : window.fromUs;
    if (momentUs === null || intentOf(take.labels, press)?.intent !== 'wanted') continue;
    const afterUs = Math.min(...stopsUs.map((us) => (us <= momentUs ? momentUs - us : Infinity)));
    if (afterUs >= 1e6) continue;
    ++n;
    if (afterUs < patienceMs * 1000) ++k;
  }
  return { k, n };
}
