import { eventsForClaim } from '../choose/claim.ts';
import { LEAST_PRESSES } from '../choose/decline.ts';
import { wilsonInterval } from '../statistics/wilson.ts';
import type { TakeStock } from './takeStock.ts';

/** A take as the plan counts it. */
export interface PlannedTake {
  readonly title: string;
  readonly performer: string;
  readonly stock: TakeStock;
  /** A sentence if nothing can be tuned on this take: then it counts for nothing. */
  readonly unfit: string | null;
}

export type DrillId =
  | 'still'
  | 'carry'
  | 'spin'
  | 'swings'
  | 'thrusts'
  | 'hits'
  | 'twists'
  | 'wanted'
  | 'strays'
  | 'ownWanted'
  | 'ownStrays'
  | 'takes';

/** 'optional' is a drill for spinners, of a performer who has not been seen to spin. */
export type DrillStatus = 'done' | 'missing' | 'optional';

export interface DrillItem {
  readonly id: DrillId;
  /** The performer it is asked of; null where it does not matter whose it is. */
  readonly performer: string | null;
  readonly drill: string;
  readonly how: string;
  readonly why: string;
  readonly need: number;
  readonly have: number;
  readonly unit: 's' | '';
  readonly status: DrillStatus;
  /** What would tick it without a new recording; null where nothing would. */
  readonly shortcut: string | null;
}

export interface DrillPlan {
  readonly items: readonly DrillItem[];
  readonly missing: number;
  /** Takes that count for nothing, and why. */
  readonly unfit: readonly { readonly title: string; readonly why: string }[];
}

/** Enough of each for a first estimate. */
const SOME = 20;
const STILL_S = 10;
const CARRY_S = 20;
const TAKES = 2;
/** Whoever has spun for so long in all is a spinner, and is asked for what spinners must record. */
const SPINNER_S = 10;

/** Which drills to record for a prop and its performers, and what of them the takes at hand hold already. */
export function planDrills(takes: readonly PlannedTake[]): DrillPlan {
  const fit = takes.filter((take) => take.unfit === null);
  const performers = [...new Set(takes.map((take) => take.performer))];
  const items = [
    ...propItems(fit),
    ...performers.flatMap((performer) =>
      performerItems(
        performer,
        fit.filter((take) => take.performer === performer),
      ),
    ),
  ];
  return {
    items,
    missing: items.filter((item) => item.status === 'missing').length,
    unfit: takes.flatMap(({ title, unfit }) => (unfit === null ? [] : [{ title, why: unfit }])),
  };
}

function propItems(takes: readonly PlannedTake[]): DrillItem[] {
  const total = (of: (stock: TakeStock) => number) => takes.reduce((sum, take) => sum + of(take.stock), 0);
  const claim = eventsForClaim(0);
  const both = takes.filter(({ stock }) => stock.straysInSpin > 0 && stock.wantedAfterStop > 0).length;
  const unlabelled = total((stock) => stock.unlabelledElsewhere);
  return [
    item(
      'still',
      'Still',
      STILL_S,
      total((stock) => stock.stillS),
      {
        unit: 's',
        how: 'Lay the prop down for a few seconds at the start of a take with swings, and again at its end.',
        why: 'Gyro bias, its drift, and the noise come from rest.',
      },
    ),
    item(
      'carry',
      'Carry',
      CARRY_S,
      total((stock) => stock.carryS),
      {
        unit: 's',
        how: 'Walk about with it, turn, hand it over, first slowly, then briskly. Press the power button now and then meanwhile, and label those presses wanted. Swing once in the same take: one without a swing counts for nothing. Counted: the time that it moves slowly.',
        why: 'Nothing may fire, and the guard may not close, while the prop is only carried; brisk carrying, and the wanted presses in it, tell how low the speeds may go.',
      },
    ),
    item(
      'strays',
      'Stray presses in a spin',
      claim,
      total((stock) => stock.straysInSpin),
      {
        how: 'Spin with the light off, press the power button now and then in mid-spin, some at the top of a swing. Label them stray.',
        why: `${claim} refused out of ${claim} claim that fewer than 1 in 20 get through (at least 95 %); with fewer, less can be claimed.`,
        shortcut: straysShortcut(
          total((stock) => stock.unlabelledInSpin),
          total((stock) => stock.straysElsewhere),
        ),
      },
    ),
    item(
      'wanted',
      'Wanted presses after a stop',
      SOME,
      total((stock) => stock.wantedAfterStop),
      {
        how: 'Swing, stop as on stage, press as you then would. Label them wanted. Presses long after any swing do not count: no guard refuses those.',
        why: `None of ${SOME} refused leaves at most ${percent(wilsonInterval(0, SOME)!.high)} (about 95 %): the longer the hold, the more this matters.`,
        shortcut:
          unlabelled > 0
            ? `${counted(unlabelled, 'press')} outside spins without a label: label them in Tune.`
            : null,
      },
    ),
    gesture(
      'thrusts',
      'Thrusts into a pad',
      total((stock) => stock.thrusts),
      total((stock) => stock.proposed.thrust),
      'Thrust the point into something soft, gently and hard, and cut now and then in between. Confirm what is proposed, or label a span over each thrust.',
      'A stab must not be confused with the pull of a swing.',
    ),
    gesture(
      'hits',
      'Hits',
      total((stock) => stock.hits),
      total((stock) => stock.proposed.hit),
      'Beat against a padded post or another blade, gently and hard, and stop some swings hard in the air. Confirm what is proposed, or label a span over each hit.',
      'A hit must not be confused with a hard stop.',
    ),
    gesture(
      'twists',
      'Twists',
      total((stock) => stock.twists),
      total((stock) => stock.proposed.twist),
      'Roll the grip both ways, by small and large angles, quick and slow. Confirm what is proposed, or label a span over each twist.',
      'A twist must not be confused with the roll of the wrist in a swing.',
    ),
    item('takes', 'Takes with both kinds of presses', TAKES, both, {
      how: 'Record strays and wanted presses in two takes or more.',
      why: 'A setting chosen on one take has to be checked on another that it has not seen.',
    }),
  ];
}

function performerItems(performer: string, takes: readonly PlannedTake[]): DrillItem[] {
  const total = (of: (stock: TakeStock) => number) => takes.reduce((sum, take) => sum + of(take.stock), 0);
  const claim = eventsForClaim(0);
  const strays = total((stock) => stock.straysInSpin);
  const spins = total((stock) => stock.spinningS) >= SPINNER_S;
  const isOptional = takes.length > 0 && !spins;
  const high = percent(wilsonInterval(0, LEAST_PRESSES)!.high);
  return [
    item(
      'spin',
      'Spin with reversals',
      claim,
      total((stock) => stock.reversals),
      {
        performer,
        isOptional,
        how: 'Spin as on stage, slow and fast, with the changes of direction that belong to it. Counted: reversals.',
        why: `A guard closed at ${claim} reversals out of ${claim} opens at fewer than 1 in 20 (at least 95 %).`,
      },
    ),
    item('ownStrays', 'Stray presses in a spin', LEAST_PRESSES, strays, {
      performer,
      isOptional,
      how: 'As above, by this performer.',
      why: `Fewer than ${LEAST_PRESSES} tell nothing of a performer: even none of ${LEAST_PRESSES} through leaves up to ${high}.`,
    }),
    item(
      'ownWanted',
      'Wanted presses after a stop',
      LEAST_PRESSES,
      total((stock) => stock.wantedAfterStop),
      {
        performer,
        how: 'As above, by this performer.',
        why: `Fewer than ${LEAST_PRESSES} tell nothing of a performer: even none of ${LEAST_PRESSES} refused leaves up to ${high}.`,
      },
    ),
    item(
      'swings',
      'Single swings',
      SOME,
      total((stock) => stock.singleSwings),
      {
        performer,
        how: 'Swing once, stop, wait; gently, as usual, and hard.',
        why: `The deflection must fire at the gentlest swing that is meant. All of ${SOME} hit leaves at most ${percent(1 - wilsonInterval(SOME, SOME)!.low)} missed (about 95 %).`,
      },
    ),
  ];
}

function gesture(
  id: DrillId,
  drill: string,
  have: number,
  proposed: number,
  how: string,
  why: string,
): DrillItem {
  const shortcut =
    proposed > 0
      ? `${proposed} ${proposed === 1 ? 'is' : 'are'} proposed by the program: look at each in Tune, under Labels, and confirm those that are right.`
      : null;
  return item(id, drill, SOME, have, { how, why, shortcut });
}

function item(
  id: DrillId,
  drill: string,
  need: number,
  have: number,
  rest: {
    readonly how: string;
    readonly why: string;
    readonly unit?: 's';
    readonly performer?: string;
    readonly isOptional?: boolean;
    readonly shortcut?: string | null;
  },
): DrillItem {
  const { how, why, unit = '', performer = null, isOptional = false, shortcut = null } = rest;
  const status = have >= need ? 'done' : isOptional ? 'optional' : 'missing';
  return {
    id,
    performer,
    drill,
    how,
    why,
    need,
    have,
    unit,
    status,
    shortcut: status === 'done' ? null : shortcut,
  };
}

function straysShortcut(unlabelledInSpin: number, straysElsewhere: number): string | null {
  const sentences = [
    ...(unlabelledInSpin > 0
      ? [`${counted(unlabelledInSpin, 'press')} inside spins without a label: label them in Tune.`]
      : []),
    ...(straysElsewhere > 0
      ? [
          `${counted(straysElsewhere, 'stray press')} outside every spin ${straysElsewhere === 1 ? 'does' : 'do'} not count here.`,
        ]
      : []),
  ];
  return sentences.length === 0 ? null : sentences.join(' ');
}

function percent(share: number): string {
  return `${Math.round(100 * share)} %`;
}

function counted(count: number, one: string): string {
  return `${count} ${one}${count === 1 ? '' : 'es'}`;
}
