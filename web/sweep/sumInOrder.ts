/**
 * Sums what comes in any order as if it had come in its own: sums of shares depend on the order in their last digits, and
 * what is chosen must not. Only what came before its turn is held.
 */
export class SumInOrder<Part, Sum> {
  private readonly count: number;
  private readonly add: (sum: Sum, part: Part) => Sum;
  /** Of all places before `next`. */
  private sum: Sum;
  private next = 0;
  private readonly early = new Map<number, Part | null>();

  constructor(count: number, nothing: Sum, add: (sum: Sum, part: Part) => Sum) {
    this.count = count;
    this.sum = nothing;
    this.add = add;
  }

  /** @param part  null where this place has none. */
  put(place: number, part: Part | null): void {
    this.early.set(place, part);
    for (; this.early.has(this.next); ++this.next) {
      const own = this.early.get(this.next)!;
      this.early.delete(this.next);
      if (own !== null) this.sum = this.add(this.sum, own);
    }
  }

  /** Of all that has come. */
  soFar(): Sum {
    let sum = this.sum;
    if (this.early.size === 0) return sum;
    for (let place = this.next; place < this.count; ++place) {
      const part = this.early.get(place) ?? null;
      if (part !== null) sum = this.add(sum, part);
    }
    return sum;
  }
}
