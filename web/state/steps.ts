import { stepThroughHistory } from './history.ts';
import { besideSteps, dispatch } from './store.ts';

/** What was done beside candidates and labels, on the server: how to take it back, and how to do it anew. */
interface Beside {
  undone(): void;
  redone(): void;
}

const beside = new Map<string, Beside>();

/** Makes a step of it, in line with those of candidates and labels. */
export function noteBeside(done: Beside): void {
  const id = String(beside.size);
  beside.set(id, done);
  dispatch({ type: 'doneBeside', id });
}

/** Takes the last step back, or the last one taken back anew. */
export function step(type: 'undone' | 'redone'): void {
  const id = besideSteps[type].peek();
  stepThroughHistory(type);
  if (id !== null) beside.get(id)?.[type]();
}
