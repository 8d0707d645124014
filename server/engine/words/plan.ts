import { LEAST_EVENTS } from '../choose/decline.ts';
import { CLAIM, type DrillId, type DrillItem, SOME } from '../plan/drillPlan.ts';
import { wilsonInterval } from '../statistics/wilson.ts';
import { counted, percent, plural } from './count.ts';

/** A drill's name, how to do it, and what it is good for. */
interface DrillWords {
  readonly name: string;
  readonly how: string;
  readonly why: string;
}

/** The largest share that may go wrong where none of so many events does. */
const mostOf = (events: number): string => percent(wilsonInterval(0, events)!.high, 0);
const BY_PERFORMER = 'As above, by this performer.';
const tooFew = (what: string): string =>
  `Fewer than ${LEAST_EVENTS} tell nothing of a performer: even none of ${LEAST_EVENTS} ${what} leaves up to ${mostOf(LEAST_EVENTS)}.`;

export const DRILL_WORDS: Readonly<Record<DrillId, DrillWords>> = {
  still: {
    name: 'Still',
    how: 'Lay the prop down for a few seconds at the start of a take with swings, and again at its end.',
    why: 'Gyro bias, its drift, and the noise come from rest.',
  },
  carry: {
    name: 'Carry',
    how: 'Walk about with it, turn, hand it over, first slowly, then briskly. Press the power button now and then meanwhile, and label those presses wanted. Swing once in the same take: one without a swing counts for nothing. Counted: the time that it moves slowly.',
    why: 'Nothing may fire, and the guard may not close, while the prop is only carried; brisk carrying, and the wanted presses in it, tell how low the speeds may go.',
  },
  strays: {
    name: 'Stray presses in a spin',
    how: 'Spin with the light off, press the power button now and then in mid-spin, some at the top of a swing. Label them stray.',
    why: `With ${CLAIM} of ${CLAIM} refused one may claim that fewer than 1 in 20 are let through (at least 95 % sure); with fewer presses, less.`,
  },
  wanted: {
    name: 'Wanted presses after a stop',
    how: 'Swing, stop as on stage, press as you then would. Label them wanted. Presses long after any swing do not count: no guard refuses those.',
    why: `None of ${SOME} refused leaves at most ${mostOf(SOME)} (about 95 %): the longer the hold, the more this matters.`,
  },
  thrusts: {
    name: 'Thrusts into a pad',
    how: 'Thrust the point into something soft, gently and hard, and cut now and then in between. Confirm what is proposed, or label a span over each thrust.',
    why: 'A stab must not be confused with the pull of a swing.',
  },
  hits: {
    name: 'Hits',
    how: 'Beat against a padded post or another blade, gently and hard, and stop some swings hard in the air. Confirm what is proposed, or label a span over each hit.',
    why: 'A hit must not be confused with a hard stop.',
  },
  twists: {
    name: 'Twists',
    how: 'Roll the grip both ways, by small and large angles, quick and slow. Confirm what is proposed, or label a span over each twist.',
    why: 'A twist must not be confused with the roll of the wrist in a swing.',
  },
  takes: {
    name: 'Takes with both kinds of presses',
    how: 'Record strays and wanted presses in two takes or more.',
    why: 'A setting chosen on one take has to be checked on another that it has not seen.',
  },
  spin: {
    name: 'Spin with reversals',
    how: 'Spin as on stage, slow and fast, with the changes of direction that belong to it. Counted: reversals.',
    why: `A guard closed at ${CLAIM} reversals out of ${CLAIM} opens at fewer than 1 in 20 (at least 95 %).`,
  },
  ownStrays: { name: 'Stray presses in a spin', how: BY_PERFORMER, why: tooFew('through') },
  ownWanted: { name: 'Wanted presses after a stop', how: BY_PERFORMER, why: tooFew('refused') },
  swings: {
    name: 'Single swings',
    how: 'Swing once, stop, wait; gently, as usual, and hard.',
    why: `The deflection must fire at the gentlest swing that is meant. All of ${SOME} hit leaves at most ${mostOf(SOME)} missed (about 95 %).`,
  },
};

/** What labels could do for a drill without a new recording; empty where they can do nothing. */
export function shortcutText(item: DrillItem): string {
  const { id, unlabelled = 0, straysElsewhere = 0, proposed = 0, unconfirmed = 0 } = item;
  const said: string[] = [];
  if (unconfirmed > 0)
    said.push(
      `${unconfirmed} ${plural(unconfirmed, 'lies', 'lie')} in spins that only the program proposes: look at them in Tune, and confirm those that are right.`,
    );
  if (unlabelled > 0)
    said.push(
      `${counted(unlabelled, 'press', 'presses')} ${id === 'strays' ? 'inside' : 'outside'} spins without a label: label them in Tune.`,
    );
  if (straysElsewhere > 0)
    said.push(
      `${counted(straysElsewhere, 'stray press', 'stray presses')} outside every spin ${plural(straysElsewhere, 'does', 'do')} not count here.`,
    );
  if (proposed > 0)
    said.push(
      `${proposed} ${plural(proposed, 'is', 'are')} proposed by the program: look at each in Tune, under Labels, and confirm those that are right.`,
    );
  return said.join(' ');
}

/** How much of a drill: seconds or a number of events. */
export function drillAmount(id: DrillId, value: number): string {
  const isTime = id === 'still' || id === 'carry';
  return isTime ? `${value < 10 && value > 0 ? value.toFixed(1) : value.toFixed(0)} s` : String(value);
}
