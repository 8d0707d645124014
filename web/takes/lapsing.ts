/** What nobody has asked for during one of these is let go in the next. */
export const LAPSE_MS = 10_000;

interface Held {
  usedIn: number;
  letGo(): void;
}

const holders = new Set<Held>();
let period = 0;
let timer: ReturnType<typeof setInterval> | undefined;

/**
 * Keeps a value while it is in use: it is made as it is asked for, and let go once nobody has asked for a while. One that
 * somebody else still has, as a stave that is open, is that one and not made again.
 * @param make  gives the same value each time. @param made  the value, where there is one already.
 */
export function lapsing<Value extends object | null>(make: () => Value, made?: Value): () => Value {
  let value = made;
  let left: WeakRef<NonNullable<Value>> | null = null;
  const held: Held = {
    usedIn: period,
    letGo: () => {
      left = value ? new WeakRef(value) : null;
      value = undefined;
    },
  };
  if (value !== undefined) watch(held);
  return () => {
    held.usedIn = period;
    if (value === undefined) {
      value = left?.deref() ?? make();
      watch(held);
    }
    return value;
  };
}

function watch(held: Held): void {
  held.usedIn = period;
  holders.add(held);
  timer ??= setInterval(letGo, LAPSE_MS);
}

function letGo(): void {
  for (const held of holders) {
    if (held.usedIn === period) continue;
    held.letGo();
    holders.delete(held);
  }
  ++period;
  if (holders.size > 0) return;
  clearInterval(timer);
  timer = undefined;
}
