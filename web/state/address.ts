import { type AppState, type Slot, type TimeWindow, VIEWS, type View } from './model.ts';

/** What the address keeps, so that a link or a reload comes back to the same place. */
export interface Place {
  readonly view: View;
  readonly takeId: string | null;
  readonly window: TimeWindow | null;
  readonly slot: Slot;
  readonly showB: boolean;
  readonly pressIndex: number | null;
}

/** The part of an address behind `#`. Times are in seconds with six decimals: whole microseconds survive. */
export function formatPlace(state: Pick<AppState, keyof Place>): string {
  const words = new URLSearchParams({ view: state.view });
  if (state.takeId !== null) words.set('take', state.takeId);
  if (state.window) {
    words.set('from', seconds(state.window.startUs));
    words.set('to', seconds(state.window.endUs));
  }
  if (state.pressIndex !== null) words.set('press', String(state.pressIndex + 1));
  words.set('candidate', state.showB ? `${state.slot},${state.slot === 'a' ? 'b' : 'a'}` : state.slot);
  return words.toString().replace('%2C', ',');
}

/** Reads what `formatPlace` wrote. Parts that make no sense are left out: an old link still opens the take. */
export function parsePlace(hash: string): Place {
  const words = new URLSearchParams(hash.replace(/^#/, ''));
  const startUs = microseconds(words.get('from'));
  const endUs = microseconds(words.get('to'));
  const press = Number(words.get('press') ?? Number.NaN);
  const [first, second] = (words.get('candidate') ?? 'a,b').split(',');
  return {
    view: VIEWS.find((view) => view === words.get('view')) ?? 'tune',
    takeId: /^[a-z0-9][a-z0-9-]{0,63}$/.test(words.get('take') ?? '') ? words.get('take') : null,
    window: startUs !== null && endUs !== null && endUs > startUs ? { startUs, endUs } : null,
    slot: first === 'b' ? 'b' : 'a',
    showB: first === 'b' || second === 'b',
    pressIndex: Number.isInteger(press) && press >= 1 ? press - 1 : null,
  };
}

function seconds(us: number): string {
  return String(Math.round(us) / 1e6);
}

function microseconds(text: string | null): number | null {
  const value = Number(text ?? Number.NaN) * 1e6;
  return Number.isFinite(value) ? Math.round(value) : null;
}
