import type { SwingEvidence } from '../../choose/deflectionProblem.ts';
import type { TakeEvidence } from '../../choose/evidence.ts';
import type { GestureEvidence } from '../../choose/gestures/evidence.ts';
import type { GestureMapKind } from '../../choose/gestures/maps.ts';
import type { MotionEvidence } from '../../choose/motion/motionProblem.ts';
import type { Evidence } from '../../choose/problem.ts';
import { counted, plural } from '../count.ts';
import { GESTURE_NAMES } from './problems.ts';
import { unfitText } from './unfit.ts';

/** On what the counts rest: a proposal is never scored in silence. */
export function pressBasis(evidence: readonly TakeEvidence[]): string {
  const fit = fitOf(evidence);
  const left = sum(fit, ({ unlabelled, unjudged }) => unlabelled + unjudged);
  return `Rests on ${[
    ...labelledBy(fit, 'press label', 'press labels', ''),
    ...(left > 0 ? [`${counted(left, 'press', 'presses')} left out for want of a label or of data`] : []),
  ].join(', ')}.`;
}

/** How many reversals lie in spins that nobody has confirmed; empty where none does. */
export function proposedReversalsText(
  evidence: readonly Pick<TakeEvidence, 'unfit' | 'proposedReversals'>[],
): string {
  const proposed = fitOf(evidence).reduce((total, take) => total + take.proposedReversals, 0);
  return proposed === 0 ? '' : `${proposed} of these in spins that nobody has confirmed`;
}

export function swingBasis(evidence: readonly SwingEvidence[]): string {
  const fit = fitOf(evidence);
  const parts = labelledBy(fit, 'swing', 'swings', 'labelled ');
  const unwanted = sum(fit, (take) => take.unwanted);
  const up =
    unwanted === 0
      ? ''
      : ` ${counted(unwanted, 'swing')} with the deflection button up ${plural(unwanted, 'counts', 'count')} for nothing.`;
  return `Rests on ${parts.join(', ')}, and ${sum(fit, ({ outsideS }) => outsideS).toFixed(0)} s outside any swing.${up}`;
}

/** How many labels each kind of labeller made, a clause each; those that made none are left out. */
function labelledBy(
  fit: readonly (TakeEvidence | SwingEvidence)[],
  one: string,
  several: string,
  verb: '' | 'labelled ',
): string[] {
  const made = (
    [
      ['person', 'by a person'],
      ['simulation', 'by the simulation'],
    ] as const
  ).flatMap(([by, how]) => {
    const count = sum(fit, (take) => take.by[by]);
    return count > 0 ? [{ count, how }] : [];
  });
  const proposed = sum(fit, ({ by }) => by.program);
  const [first, ...others] = made;
  return [
    first
      ? `${counted(first.count, one, several)} ${verb}${first.how}`
      : `${counted(0, one, several)} ${verb}by a person`,
    ...others.map(({ count, how }) => `${count} ${how}`),
    ...(proposed > 0 ? [`${proposed} proposed by the program and not confirmed`] : []),
  ];
}

/** How many spins and stops are counted, and in which takes some are not. */
export function motionBasis(evidence: readonly MotionEvidence[]): string {
  const fit = fitOf(evidence);
  const labelled = fit.filter(({ isConfirmed }) => isConfirmed);
  const spinsAndStops = (spins: number, stops: number) =>
    [...(spins > 0 ? [counted(spins, 'spin')] : []), ...(stops > 0 ? [counted(stops, 'stop')] : [])].join(
      ' and ',
    );
  const left = fit.flatMap(({ title, waitingSpins, waitingStops }) =>
    waitingSpins + waitingStops > 0 ? [`${title} (${spinsAndStops(waitingSpins, waitingStops)})`] : [],
  );
  const leftText =
    left.length === 0 ? '' : ` Proposed and not confirmed, so not counted: ${left.join('; ')}.`;
  const all = spinsAndStops(
    sum(labelled, ({ spins }) => spins),
    sum(labelled, ({ stops }) => stops),
  );
  return `Rests on ${all} labelled in ${counted(labelled.length, 'take')}.${leftText}`;
}

/** Whose gestures the counts rest on. */
export function gestureBasis(kind: GestureMapKind, evidence: readonly GestureEvidence[]): string {
  const fit = fitOf(evidence);
  const { one, several, fire } = GESTURE_NAMES[kind];
  const simulated = sum(fit, ({ by }) => by.simulation);
  const unconfirmed = sum(fit, (take) => take.unconfirmed);
  const proposed = sum(fit, (take) => (take.outsideS > 0 ? take.proposed : 0));
  const silent = fit.filter(({ outsideS }) => outsideS === 0).length;
  const byPerson = sum(fit, ({ by }) => by.person);
  const labelled =
    byPerson === 0 && simulated > 0
      ? `${counted(simulated, one, several)} labelled by the simulation`
      : `${counted(byPerson, one, several)} labelled by a person${simulated > 0 ? `, ${simulated} by the simulation` : ''}`;
  const others = counted(
    sum(fit, (take) => take.others),
    'other movement',
  );
  const outsideS = sum(fit, (take) => take.outsideS).toFixed(0);
  return [
    `Rests on ${labelled}, and ${others} in ${outsideS} s at which it is to keep silent.`,
    ...(unconfirmed > 0
      ? [
          `${counted(unconfirmed, `${one} that only the program has labelled counts`, `${several} that only the program has labelled count`)} for nothing.`,
        ]
      : []),
    ...(proposed > 0
      ? [
          `In Tune ${counted(proposed, `more ${one} is`, `more ${several} are`)} proposed: until somebody confirms ${plural(proposed, 'it', 'them')}, a ${fire} there counts as false.`,
        ]
      : []),
    ...(silent > 0
      ? [
          `${counted(silent, 'take holds', 'takes hold')} no labelled ${one} and so ${plural(silent, 'says', 'say')} nothing of a false ${fire}.`,
        ]
      : []),
  ].join(' ');
}

/** Which takes are left out, and why, with a space before it; empty where none is. */
export function leftOutText(evidence: readonly Pick<Evidence, 'title' | 'unfit'>[]): string {
  const unfit = evidence.flatMap((take) => (take.unfit ? [`${take.title} (${unfitText(take.unfit)})`] : []));
  if (unfit.length === 0) return '';
  return ` Left out as unfit: ${unfit.join('; ')}.`;
}

function fitOf<Own extends Pick<Evidence, 'unfit'>>(evidence: readonly Own[]): Own[] {
  return evidence.filter(({ unfit }) => unfit === null);
}

function sum<Own>(takes: readonly Own[], of: (take: Own) => number): number {
  return takes.reduce((total, take) => total + of(take), 0);
}
