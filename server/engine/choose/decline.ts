import { many } from '../base/counted.ts';
import type { TakeEvidence } from './evidence.ts';

/** Why nothing is suggested: the first of these that holds. */
export type DeclineKind =
  | 'unfit'
  | 'noPresses'
  | 'noLabels'
  | 'contradictory'
  | 'oneClass'
  | 'tooFew'
  | 'noSwings'
  | 'noMotion'
  | 'unconfirmed'
  | 'noneGood'
  | 'oneGroup';

export interface Decline {
  readonly kind: DeclineKind;
  /** A sentence that says what is wrong. */
  readonly text: string;
  /** What to do about it, a sentence each. */
  readonly advice: readonly string[];
}

/** Fewer labelled presses of a kind than this tell nothing: even 0 of 5 leaves up to 43 % open (Wilson, 95 %). */
export const LEAST_PRESSES = 5;

/** Advice on what to record of each kind. */
export const RECORD = {
  strays:
    'Spin as you do on stage, with the blade’s light off, and press the power button now and then in mid-spin, some right at the top of a swing; label those presses stray.',
  wanted:
    'Stop as you do on stage and press the power button as you then would, soon after the stop; label those presses wanted.',
} as const;

/**
 * The one rule of evidence: what speaks against choosing at all, before any setting is looked at; null where nothing does.
 * Whatever offers a setting of the guard asks it, and where it declines shows its words and no number.
 */
export function declineOn(takes: readonly TakeEvidence[]): Decline | null {
  const fit = takes.filter((take) => take.unfit === null);
  if (fit.length === 0) return unfit(takes);
  const sum = (of: (take: TakeEvidence) => number) => fit.reduce((total, take) => total + of(take), 0);
  const strays = sum((take) => take.strays);
  const wanted = sum((take) => take.wanted);
  const unlabelled = sum((take) => take.unlabelled);
  if (strays + wanted === 0)
    return withoutLabels(
      unlabelled,
      sum((take) => take.unjudged),
    );
  return contradictory(fit) ?? oneClass(strays, wanted) ?? tooFew(strays, wanted, unlabelled);
}

/** Where none of the takes asked about is fit. */
export function unfit(takes: readonly Pick<TakeEvidence, 'title' | 'unfit'>[]): Decline {
  const text =
    takes.length === 0
      ? 'No take is chosen.'
      : takes.length === 1
        ? 'Nothing can be chosen on this take.'
        : `Nothing can be chosen on any of the ${takes.length} takes.`;
  return { kind: 'unfit', text, advice: takes.map(({ title, unfit: why }) => `${title}: ${why}.`) };
}

function withoutLabels(unlabelled: number, unjudged: number): Decline {
  if (unlabelled === 0 && unjudged === 0)
    return {
      kind: 'noPresses',
      text: 'There is no press of the power button to judge a setting by.',
      advice: [RECORD.strays, RECORD.wanted],
    };
  if (unlabelled === 0)
    return {
      kind: 'noPresses',
      text: `${many(unjudged, 'press has', 'presses have')} no motion data at the moment that is judged.`,
      advice: ['Judge the press when the button goes down, or record again without gaps.'],
    };
  return {
    kind: 'noLabels',
    text: `None of the ${many(unlabelled, 'press', 'presses')} says whether it was wanted.`,
    advice: ['Open Tune, walk through the presses with N and P, and label them: W wanted, S stray.'],
  };
}

function oneClass(strays: number, wanted: number): Decline | null {
  if (strays > 0 && wanted > 0) return null;
  const [have, lack] = strays > 0 ? (['stray', 'wanted'] as const) : (['wanted', 'stray'] as const);
  const trivial = strays > 0 ? 'a guard that never opens' : 'no guard at all';
  return {
    kind: 'oneClass',
    text: `All ${many(strays + wanted, 'labelled press is', 'labelled presses are')} ${have}: ${trivial} would get them right.`,
    advice: [lack === 'stray' ? RECORD.strays : RECORD.wanted],
  };
}

function tooFew(strays: number, wanted: number, unlabelled: number): Decline | null {
  const advice: string[] = [];
  if (strays < LEAST_PRESSES) advice.push(`${more(strays, 'stray')} ${RECORD.strays}`);
  if (wanted < LEAST_PRESSES) advice.push(`${more(wanted, 'wanted')} ${RECORD.wanted}`);
  if (advice.length === 0) return null;
  if (unlabelled > 0)
    advice.unshift(`Label ${many(unlabelled, 'press that has', 'presses that have')} no label yet.`);
  const text = `${pressCounts(strays, wanted)} are too few to tell settings apart: it takes ${LEAST_PRESSES} of each.`;
  return { kind: 'tooFew', text, advice };
}

function pressCounts(strays: number, wanted: number): string {
  return `${many(strays, 'stray press', 'stray presses')} and ${many(wanted, 'wanted one', 'wanted ones')}`;
}

function contradictory(takes: readonly TakeEvidence[]): Decline | null {
  const bad = takes.filter((take) => take.contradictionsUs.length > 0);
  if (bad.length === 0) return null;
  const count = bad.reduce((sum, take) => sum + take.contradictionsUs.length, 0);
  const advice = bad.map(({ title, contradictionsUs }) => {
    const when = contradictionsUs.map((us) => `${(us / 1e6).toFixed(1)} s`).join(', ');
    return `${title}: decide on the ${contradictionsUs.length === 1 ? 'press' : 'presses'} at ${when}.`;
  });
  return {
    kind: 'contradictory',
    text: `${many(count, 'press is', 'presses are')} labelled both wanted and stray.`,
    advice,
  };
}

function more(have: number, kind: string): string {
  const lack = LEAST_PRESSES - have;
  return `Record ${many(lack, `more ${kind} press`, `more ${kind} presses`)} or more.`;
}

/** What to do where performers differ too much for one setting. */
export const ONE_AT_A_TIME =
  'Look at one performer’s takes at a time: a gentle swing of one may be slower than the pauses of another.';

/** Whether the takes that count are of more than one performer. */
export function areOfSeveral(
  evidence: readonly { readonly performer: string; readonly unfit: string | null }[],
): boolean {
  return new Set(evidence.filter((take) => take.unfit === null).map((take) => take.performer)).size > 1;
}
