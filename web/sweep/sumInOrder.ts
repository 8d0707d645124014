/** So many are added at once: each sum is a copy of a map. */
const AT_ONCE = 32;

/**
 * Sums what comes in any order as if it had come in its own: sums of shares depend on the order, and on what is added at
 * once, in their last digits, and what is chosen must not. Only what came before its turn is held.
 */
export class SumInOrder<Part, Sum> {
  private readonly count: number;
  private readonly add: (sum: Sum, parts: readonly Part[]) => Sum;
  /** Of all places before `next`. */
  private sum: Sum;
  private next = 0;
  private readonly early = new Map<number, Part | null>();

  constructor(count: number, nothing: Sum, add: (sum: Sum, parts: readonly Part[]) => Sum) {
    this.count = count;
    this.sum = nothing;
    this.add = add;
  }

  /** @param part  null where this place has none. */
  put(place: number, part: Part | null): void {
    this.early.set(place, part);
    while (this.haveNextCome()) {
      const end = this.next + AT_ONCE;
      this.sum = this.added(this.next, end);
      for (; this.next < end; ++this.next) this.early.delete(this.next);
    }
  }

  private haveNextCome(): boolean {
    for (let place = this.next; place < this.next + AT_ONCE; ++place)
      if (!this.early.has(place)) return false;
    return true;
  }

  /** Of all that has come. */
  soFar(): Sum {
    return this.early.size === 0 ? this.sum : this.added(this.next, this.count);
  }

  private added(start: number, end: number): Sum {
    const parts: Part[] = [];
    for (let place = start; place < end; ++place) {
      const part = this.early.get(place) ?? null;
      if (part !== null) parts.push(part);
    }
    return parts.length === 0 ? this.sum : this.add(this.sum, parts);
  }
}
