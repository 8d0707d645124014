import { type DeflectionOutcome, deflectionPlateau } from './deflectionChoice.ts';
import { combined, type Fold, type HeldOut, type LeaveOutRules, lackOf, leaveOut } from './leaveOut.ts';

export interface DeflectionSetting {
  readonly speedDps: number;
  readonly rearmRatio: number;
}

/** The n of `outside`, fires outside any swing, is that of the swings: it tells how much was looked at. */
export type DeflectionPart = 'missed' | 'twice' | 'outside';
export type DeflectionFold = Fold<DeflectionSetting, DeflectionPart>;
export type DeflectionHeldOut = HeldOut<DeflectionSetting, DeflectionPart>;

/** The deflection's choice on all groups but one, scored on that one; the worst has most wrong. See `leaveOut`. */
export function checkDeflectionHeldOut(
  parts: readonly { readonly key: string; readonly name: string; readonly grid: DeflectionOutcome }[],
): DeflectionHeldOut | null {
  return leaveOut(parts, RULES);
}

const RULES: LeaveOutRules<DeflectionOutcome, DeflectionSetting, DeflectionPart> = {
  names: ['missed', 'twice', 'outside'],
  sum: ([first, ...others]) => others.reduce((sum, grid) => joined(sum, grid, 1), first!),
  without: (total, own) => joined(total, own, -1),
  lackOf: ({ swings }) => lackOf(swings, { one: 'swing', several: 'swings' }),
  choose(rest) {
    const plateau = deflectionPlateau(rest)!;
    const cell = plateau.xIndex * rest.rearmRatios.length + plateau.yIndex;
    return { setting: { speedDps: plateau.x, rearmRatio: plateau.y }, cell };
  },
  sizeOf: (own) => own.swings,
  wrongAt: (own, name, cell) => own[name][cell]!,
  badness: ({ missed, twice, outside }) => [missed.k + twice.k + outside.k],
};

function joined(a: DeflectionOutcome, b: DeflectionOutcome, sign: 1 | -1): DeflectionOutcome {
  return {
    speedsDps: a.speedsDps,
    rearmRatios: a.rearmRatios,
    swings: a.swings + sign * b.swings,
    missed: combined(a.missed, b.missed, sign),
    twice: combined(a.twice, b.twice, sign),
    outside: combined(a.outside, b.outside, sign),
  };
}
