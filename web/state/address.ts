import { isWithin } from '../../server/engine/base/statedBounds.ts';
import { PATIENCE } from '../../server/engine/choose/motion/patience.ts';
import type { Judge } from './judging.ts';
import { type Slot, SWEPT_MAPS, type SweptMap, type TimeWindow } from './model.ts';
import type { TakeScope } from './takeScope.ts';
import { VIEWS, type View } from './views.ts';

/** The part of the state that the address keeps, so that a link or a reload comes back to the same place. */
export interface Place {
  readonly view: View;
  readonly takeId: string | null;
  readonly window: TimeWindow | null;
  /** Neither a window nor the whole take is asked for: then Tune goes to what matters in the take. */
  readonly isWindowOpen: boolean;
  readonly slot: Slot;
  readonly showB: boolean;
  readonly pressIndex: number | null;
  /** Where the playhead stands. */
  readonly momentUs: number | null;
  /** The map that Sweep shows, and the takes that it and Reversals look at. */
  readonly sweptMap: SweptMap;
  readonly takeScope: TakeScope;
  /** By what Sweep judges a guard, and how long after a stop a press is wanted. */
  readonly judge: Judge | null;
  readonly patienceMs: number;
}

/**
 * The part of an address behind `#`. Times are in seconds with six decimals: whole microseconds survive. The guard's map
 * and the open take alone are what a link without a word of them shows.
 */
export function formatPlace(place: Place): string {
  const { view, takeId, window, isWindowOpen, slot, showB, pressIndex, momentUs } = place;
  const { sweptMap, takeScope, judge, patienceMs } = place;
  const words = new URLSearchParams({ view });
  if (takeId !== null) words.set('take', takeId);
  if (window) {
    words.set('from', seconds(window.startUs));
    words.set('to', seconds(window.endUs));
  } else if (takeId !== null && !isWindowOpen) words.set('shows', WHOLE);
  if (pressIndex !== null) words.set('press', String(pressIndex + 1));
  if (momentUs !== null) words.set('at', seconds(momentUs));
  words.set('candidate', showB ? `${slot},${slot === 'a' ? 'b' : 'a'}` : slot);
  if (sweptMap !== 'guard') words.set('sweep', sweptMap);
  if (judge !== null) words.set('judge', judge);
  if (patienceMs !== PATIENCE.default) words.set('patience', String(patienceMs));
  if (takeScope.kind === 'all') words.set('takes', ALL);
  if (takeScope.kind === 'chosen') words.set('takes', [...takeScope.ids].join(',') || NONE);
  return words.toString().replaceAll('%2C', ',');
}

/** All of the take, as it was asked for. */
const WHOLE = 'whole';

/** No ids: those end in eight hexadecimal digits. */
const [ALL, NONE] = ['all', 'none'];
const TAKE_ID = /^[a-z0-9][a-z0-9-]{0,63}$/;

/** Reads what `formatPlace` wrote. Parts that make no sense are left out: an old link still opens the take. */
export function parsePlace(hash: string): Place {
  const words = new URLSearchParams(hash.replace(/^#/, ''));
  const startUs = microseconds(words.get('from'));
  const endUs = microseconds(words.get('to'));
  const isWindow = startUs !== null && endUs !== null && endUs > startUs;
  const press = Number(words.get('press') ?? Number.NaN);
  const [first, second] = (words.get('candidate') ?? 'a,b').split(',');
  return {
    view: VIEWS.find((view) => view === words.get('view')) ?? 'tune',
    takeId: TAKE_ID.test(words.get('take') ?? '') ? words.get('take') : null,
    window: isWindow ? { startUs, endUs } : null,
    isWindowOpen: !isWindow && words.get('shows') !== WHOLE,
    slot: first === 'b' ? 'b' : 'a',
    showB: first === 'b' || second === 'b',
    pressIndex: Number.isInteger(press) && press >= 1 ? press - 1 : null,
    momentUs: momentOf(words.get('at')),
    sweptMap: SWEPT_MAPS.find((map) => map === words.get('sweep')) ?? 'guard',
    takeScope: scopeOf(words.get('takes')),
    judge: JUDGES.find((one) => one === words.get('judge')) ?? null,
    patienceMs: patienceOf(words.get('patience')),
  };
}

const JUDGES: readonly Judge[] = ['presses', 'motion'];

function patienceOf(text: string | null): number {
  const ms = Number(text ?? Number.NaN);
  return isWithin(ms, PATIENCE) ? ms : PATIENCE.default;
}

function scopeOf(text: string | null): TakeScope {
  if (text === ALL) return { kind: 'all' };
  if (text === NONE) return { kind: 'chosen', ids: new Set() };
  const ids = (text ?? '').split(',').filter((id) => TAKE_ID.test(id));
  return ids.length > 0 ? { kind: 'chosen', ids: new Set(ids) } : { kind: 'open' };
}

function momentOf(text: string | null): number | null {
  const us = microseconds(text);
  return us !== null && us >= 0 ? us : null;
}

function seconds(us: number): string {
  return String(Math.round(us) / 1e6);
}

function microseconds(text: string | null): number | null {
  const value = Number(text ?? Number.NaN) * 1e6;
  return Number.isFinite(value) ? Math.round(value) : null;
}
