import type { Fold, HeldOut } from '../../../server/engine/choose/leaveOut.ts';

/** A count of what is left out: of some, any but 0 is wrong; some are counted of nothing. */
export interface HeldColumn<Name extends string> {
  readonly name: Name;
  readonly isBad?: boolean;
  readonly isPlainCount?: boolean;
  /** What is counted, where the name does not say so. */
  readonly what?: string;
}

/** What goes wrong in what is left out. */
export function wrongIn<Setting, Name extends string>(
  fold: Fold<Setting, Name>,
  columns: readonly HeldColumn<Name>[],
): number {
  return columns.reduce((sum, { name, isBad }) => sum + (isBad ? fold[name].k : 0), 0);
}

/** What the table comes to: does a choice hold for what it was not made from? Of what is not wrong in itself, what is left. */
export function heldWords<Setting, Name extends string>(
  held: HeldOut<Setting, Name>,
  columns: readonly HeldColumn<Name>[],
  unit = 'press',
): string {
  const { worst } = held;
  if (worst === null) return '';
  const wrong = wrongIn(worst, columns);
  if (wrong > 0)
    return `Chosen without ${worst.name}, the setting gets ${wrong} wrong there: what suits the others need not suit one that it has not seen.`;
  const unseen = columns.filter(
    ({ name, isBad, isPlainCount }) => isBad && !isPlainCount && held[name].n === 0,
  );
  if (unseen.length > 0) {
    const what = unseen.map(({ name, what: its }) => its ?? name).join(' and ');
    return `No choice was tried on ${what}: leaving them out leaves nothing to choose by.`;
  }
  const left = columns.filter(({ name, isBad }) => !isBad && worst[name].k > 0).map(({ name }) => name);
  if (left.length === 0) return 'What was chosen without one held for that one, each time.';
  const most = left.map((name) => `${worst[name].k} of ${worst[name].n} ${name}`);
  return `What was chosen without one got no ${unit} of that one wrong, each time. In ${worst.name}, left out, ${most.join(' and ')} stay open: the most of any.`;
}
