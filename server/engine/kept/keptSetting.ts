import type { ProblemKind } from '../choose/problem.ts';
import type { Cell } from '../compare/cells.ts';
import type { LightState } from '../replay/light.ts';
import type { StillBlade } from '../replay/still.ts';
import type { Candidate } from '../settings/candidate.ts';
import type { Interval } from '../statistics/wilson.ts';

/** A setting with a name: what it is for, its values, and the evidence that it was kept on. */
export interface KeptSetting {
  readonly name: string;
  /** '' where it is for any. */
  readonly prop: string;
  /** None where it is for anybody. */
  readonly performers: readonly string[];
  readonly note: string;
  /** ISO 8601. */
  readonly keptAt: string;
  readonly candidate: Candidate;
  /** null until it is judged on takes. */
  readonly evidence: SettingEvidence | null;
}

/** How a setting did on takes, as it was judged; what has changed since does not change it. */
export interface SettingEvidence {
  /** ISO 8601. */
  readonly judgedAt: string;
  /** Version of the program that judged. */
  readonly program: string;
  readonly takes: readonly EvidenceTake[];
  /** All scores over the takes that count, by the ids of `SCORE_COLUMNS`; those with nothing to score are missing. */
  readonly scores: Scores;
  /** The same for each performer, prop and session, of each kind where there are several. */
  readonly groups: readonly GroupScores[];
  readonly problems: readonly ProblemEvidence[];
  /** The first presses that the guard gets wrong, a few of them, as they would have been seen. */
  readonly stills: readonly WrongPressStill[];
  /** Who chose each group of values: equal to what the program suggests on these takes, its defaults, or by hand. */
  readonly chosen: Readonly<Record<keyof Candidate, ChosenBy>>;
}

export interface WrongPressStill extends StillBlade {
  readonly takeId: string;
  readonly title: string;
  readonly atUs: number;
  readonly intent: 'stray' | 'wanted';
  /** What the guard made of it, and why, in words. */
  readonly text: string;
  readonly light: LightState;
}

export interface GroupScores {
  readonly by: Grouped;
  /** '' where nobody named it. */
  readonly name: string;
  readonly scores: Scores;
}

/** What takes are told apart by. */
export const GROUPED = ['performer', 'prop', 'session'] as const;

export type Grouped = (typeof GROUPED)[number];

export type Scores = Readonly<Record<string, Cell>>;

export type ChosenBy = 'suggested' | 'default' | 'hand';

export interface EvidenceTake {
  readonly id: string;
  readonly title: string;
  readonly performer: string;
  readonly prop: string;
  /** '' where nothing is said of it. */
  readonly session: string;
  /** It comes from a simulation, and proves nothing of a prop. */
  readonly isSynthetic: boolean;
  /** Nobody had said which way its blade points, and its swings did not prove what was taken; older evidence does not tell. */
  readonly isMountAssumed?: boolean;
  readonly sources: readonly { readonly name: string; readonly sha256: string }[];
  /** Changes with all of the take's document that a judgement rests on: labels, calibration, mapping, power button. */
  readonly fingerprint: string;
  readonly labels: LabelCounts;
  /** Why it does not count, in words; null where it does. */
  readonly leftOut: string | null;
  /** What not to trust in it, by the signal check; short nouns. */
  readonly cautions: readonly string[];
}

export interface LabelCounts {
  readonly stray: number;
  readonly wanted: number;
  readonly swings: number;
  readonly spins: number;
  readonly gestures: number;
  /** All of the above that a person, and not the program or a simulation, has made. */
  readonly byPerson: number;
}

/** What goes wrong, by the problem's parts: `strays`, `missed` and so on. */
export type Counts = Readonly<Record<string, Counted>>;

/** k wrong, and how much there was to judge by: things, or, for fires that belong to no gesture, seconds. */
export interface Counted {
  readonly k: number;
  readonly n: number;
  /** 95 %; null where k is no part of n, as with fires beside all gestures, and where n is 0. */
  readonly interval: Interval | null;
}

/** How the two settings of one problem stand. */
export interface ProblemEvidence {
  readonly kind: ProblemKind;
  /** The setting's own values. */
  readonly x: number;
  readonly y: number;
  /** Why these takes tell too little to choose by, in words; null where they tell enough. */
  readonly declined: string | null;
  /** What goes wrong with this setting, of how much, by the problem's parts; only those that are judged one by one. */
  readonly wrong: Counts;
  /** What the program would choose on the same takes; null where it declines. */
  readonly suggested: { readonly x: number; readonly y: number } | null;
  readonly margins: { readonly x: SettingMargin; readonly y: SettingMargin } | null;
  /** The choice on all others tried on each take, and on each performer, left out; null where there is but one. */
  readonly byTake: HeldOutEvidence | null;
  readonly byPerformer: HeldOutEvidence | null;
  readonly stress: readonly StressEvidence[];
  readonly map: SettingMap | null;
}

/**
 * How far one value can change, the other staying, before the setting does worse by what Sweep chooses by: what goes wrong
 * first; of a guard also, in steps of 1 in 20, the reversals at which it opens and the quiet time in which it is closed.
 */
export interface SettingMargin {
  /** The last values tried that are as good. */
  readonly low: number;
  readonly high: number;
  /** The first ones tried that are worse; null where nothing worse was found as far as was tried. */
  readonly worseBelow: number | null;
  readonly worseAbove: number | null;
}

export interface HeldOutEvidence {
  /** How many could be left out with a choice made on the rest. */
  readonly folds: number;
  readonly wrong: Counts;
  /** null where nothing goes wrong in any. */
  readonly worst: { readonly name: string; readonly wrong: Counts } | null;
}

export interface StressEvidence {
  readonly name: string;
  readonly wrong: Readonly<Record<string, number>>;
  readonly flips: number;
  readonly moreFires: number;
}

/** All that goes wrong over a grid of the two values, row-major: x and y at x * ys.length + y. */
export interface SettingMap {
  readonly xs: readonly number[];
  readonly ys: readonly number[];
  /** null for a setting that is never suggested. */
  readonly wrong: readonly (number | null)[];
  /** Of how many. */
  readonly of: number;
  /** 1 for each cell of the plateau that the program would choose on; empty where it declines. */
  readonly plateau: readonly (0 | 1)[];
}
