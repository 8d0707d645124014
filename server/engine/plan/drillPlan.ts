import { eventsForClaim } from '../choose/claim.ts';
import { LEAST_EVENTS } from '../choose/decline.ts';
import type { TakeStock } from './takeStock.ts';

/** A take as the plan counts it. */
export interface PlannedTake {
  readonly performer: string;
  readonly stock: TakeStock;
  /** A take that cannot be tuned on counts for nothing. */
  readonly isFit: boolean;
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

/** 'optional' is a drill for spinners, asked of a performer who has not spun so far. */
type DrillStatus = 'done' | 'missing' | 'optional';

export interface DrillItem extends Shortcuts {
  readonly id: DrillId;
  /** The performer who is asked for it; null where anybody may do it. */
  readonly performer: string | null;
  /** In seconds for 'still' and 'carry', else a number of events. */
  readonly need: number;
  readonly have: number;
  readonly status: DrillStatus;
}

/** Events in the takes that could count without a new recording, or that look as if they did. */
interface Shortcuts {
  /** Presses in the right place without a label. */
  readonly unlabelled?: number;
  /** Stray presses outside every spin. */
  readonly straysElsewhere?: number;
  /** Gestures that the program proposes. */
  readonly proposed?: number;
  /** What counts although only the program proposes it: reversals in spins that nobody confirmed. */
  readonly unconfirmed?: number;
}

export interface DrillPlan {
  readonly items: readonly DrillItem[];
  readonly missing: number;
}

/** Enough of each for a first estimate. */
export const SOME = 20;
const STILL_S = 10;
const CARRY_S = 20;
const TAKES = 2;
/** A performer who has spun for this long in all is a spinner, and is asked for a spinner's drills. */
const SPINNER_S = 10;
/** With this many events and none wrong, one may claim that fewer than 1 in 20 go wrong. */
export const CLAIM = eventsForClaim(0);

/** The drills to record for a prop and its performers, and how much of each the takes hold already. */
export function planDrills(takes: readonly PlannedTake[]): DrillPlan {
  const fit = takes.filter(({ isFit }) => isFit);
  const performers = [...new Set(takes.map(({ performer }) => performer))];
  const items = [
    ...propItems(fit),
    ...performers.flatMap((performer) =>
      performerItems(
        performer,
        fit.filter((take) => take.performer === performer),
      ),
    ),
  ];
  return { items, missing: items.filter(({ status }) => status === 'missing').length };
}

function propItems(takes: readonly PlannedTake[]): DrillItem[] {
  const total = totalOf(takes);
  const ask = (id: DrillId, need: number, have: number, shortcuts?: Shortcuts) =>
    itemOf({ id, performer: null, need, have }, 'missing', shortcuts);
  const gesture = (id: 'thrusts' | 'hits' | 'twists', kind: keyof TakeStock['proposed']) =>
    ask(id, SOME, total(id), { proposed: takes.reduce((sum, { stock }) => sum + stock.proposed[kind], 0) });
  return [
    ask('still', STILL_S, total('stillS')),
    ask('carry', CARRY_S, total('carryS')),
    ask('strays', CLAIM, total('straysInSpin'), {
      unlabelled: total('unlabelledInSpin'),
      straysElsewhere: total('straysElsewhere'),
    }),
    ask('wanted', SOME, total('wantedAfterStop'), { unlabelled: total('unlabelledElsewhere') }),
    gesture('thrusts', 'thrust'),
    gesture('hits', 'hit'),
    gesture('twists', 'twist'),
    ask(
      'takes',
      TAKES,
      takes.filter(({ stock }) => stock.straysInSpin > 0 && stock.wantedAfterStop > 0).length,
    ),
  ];
}

function performerItems(performer: string, takes: readonly PlannedTake[]): DrillItem[] {
  const total = totalOf(takes);
  const isSpinner = total('spinningS') >= SPINNER_S;
  const ofSpinners = takes.length > 0 && !isSpinner ? 'optional' : 'missing';
  const ask = (id: DrillId, need: number, have: number, open: DrillStatus = 'missing') =>
    itemOf({ id, performer, need, have }, open);
  return [
    { ...ask('spin', CLAIM, total('reversals'), ofSpinners), unconfirmed: total('reversalsProposed') },
    ask('ownStrays', LEAST_EVENTS, total('straysInSpin'), ofSpinners),
    ask('ownWanted', LEAST_EVENTS, total('wantedAfterStop')),
    ask('swings', SOME, total('singleSwings')),
  ];
}

function totalOf(takes: readonly PlannedTake[]): (count: Exclude<keyof TakeStock, 'proposed'>) => number {
  return (count) => takes.reduce((sum, { stock }) => sum + stock[count], 0);
}

/** @param open  its status while too little is there */
function itemOf(
  item: Pick<DrillItem, 'id' | 'performer' | 'need' | 'have'>,
  open: DrillStatus,
  shortcuts: Shortcuts = {},
): DrillItem {
  return item.have >= item.need ? { ...item, status: 'done' } : { ...item, status: open, ...shortcuts };
}
