import { notify } from './notices.ts';

/** A message for after the page has started anew. */
const KEY = 'moulinet.told';

/** Loads the page again, at the same place, and tells something then. */
export function startAnew(text: string): void {
  sessionStorage.setItem(KEY, text);
  location.reload();
}

/** Tells what the page left to tell before it started anew. */
export function tellLeftOver(): void {
  const text = sessionStorage.getItem(KEY);
  if (text === null) return;
  sessionStorage.removeItem(KEY);
  notify('fact', text);
}
