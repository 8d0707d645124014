import type { Outcome } from './cost.ts';
import {
  type Counted,
  combined,
  type Fold,
  type HeldOut,
  type LeaveOutRules,
  lackOf,
  leaveOut,
} from './leaveOut.ts';
import { guardPlateau } from './suggest.ts';

export interface GuardSetting {
  readonly speedDps: number;
  readonly holdMs: number;
}

export type GuardPart = 'strays' | 'wanted' | 'reversals';
export type GuardFold = Fold<GuardSetting, GuardPart>;
export type GuardHeldOut = HeldOut<GuardSetting, GuardPart>;

/**
 * The guard's choice on all groups but one, scored on that one; the worst has most presses wrong. See `leaveOut`.
 * @param units  what strays and wanted presses are called where something else stands for them.
 */
export function checkHeldOut(
  parts: readonly { readonly key: string; readonly name: string; readonly grid: Outcome }[],
  units: Readonly<Record<'strays' | 'wanted', Counted>> = PRESSES,
): GuardHeldOut | null {
  return leaveOut(parts, { ...GUARD_RULES, lackOf: (rest) => lackOfEither(rest, units) });
}

const PRESSES = {
  strays: { one: 'stray press', several: 'stray presses' },
  wanted: { one: 'wanted press', several: 'wanted presses' },
} as const;

function lackOfEither({ strays, wanted }: Outcome, units: Readonly<Record<'strays' | 'wanted', Counted>>) {
  return lackOf(strays, units.strays) ?? lackOf(wanted, units.wanted);
}

const WRONG = { strays: 'strayLetThrough', wanted: 'wantedRefused', reversals: 'reversalsOpen' } as const;

export const GUARD_RULES: LeaveOutRules<Outcome, GuardSetting, GuardPart> = {
  names: ['strays', 'wanted', 'reversals'],
  sum: ([first, ...others]) => others.reduce((sum, grid) => joined(sum, grid, 1), first!),
  without: (total, own) => joined(total, own, -1),
  lackOf: (rest) => lackOfEither(rest, PRESSES),
  choose(rest) {
    const { plateau, cell } = guardPlateau(rest);
    return { setting: { speedDps: plateau.x, holdMs: plateau.y }, cell };
  },
  sizeOf: (own, name) => own[name],
  wrongAt: (own, name, cell) => own[WRONG[name]][cell]!,
  badness: ({ strays, wanted, reversals }) => [strays.k + wanted.k, reversals.k],
};

function joined(a: Outcome, b: Outcome, sign: 1 | -1): Outcome {
  return {
    speedsDps: a.speedsDps,
    holdsMs: a.holdsMs,
    strays: a.strays + sign * b.strays,
    wanted: a.wanted + sign * b.wanted,
    reversals: a.reversals + sign * b.reversals,
    quietS: a.quietS + sign * b.quietS,
    strayLetThrough: combined(a.strayLetThrough, b.strayLetThrough, sign),
    wantedRefused: combined(a.wantedRefused, b.wantedRefused, sign),
    reversalsOpen: combined(a.reversalsOpen, b.reversalsOpen, sign),
    quietClosedS: combined(a.quietClosedS, b.quietClosedS, sign),
  };
}
