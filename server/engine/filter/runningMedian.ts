/**
 * Median of the last `samples` samples; of an even number the mean of the middle two.
 * The lower half of the window is a heap with its highest value on top, the upper half one with its lowest on top. The
 * newest sample takes the oldest one's slot and moves up or down from there: O(log n) a sample, nothing is allocated.
 */
export class RunningMedian {
  readonly samples: number;
  private readonly values: Float64Array;
  private readonly lower: SlotHeap;
  private readonly upper: SlotHeap;
  private at = 0;

  /** @throws RangeError  unless samples is a whole number above 0. */
  constructor(samples: number) {
    if (!(Number.isInteger(samples) && samples > 0)) {
      throw new RangeError(`a median needs a whole number of samples above 0, got ${samples}`);
    }
    this.samples = samples;
    this.values = new Float64Array(samples);
    const places = new Int32Array(samples);
    const inLower = (samples + 1) >> 1;
    this.lower = new SlotHeap(this.values, places, 0, inLower, -1);
    this.upper = new SlotHeap(this.values, places, inLower, samples - inLower, 1);
  }

  step(x: number): number {
    const { values, lower, upper, at } = this;
    values[at] = x;
    this.at = at + 1 === this.samples ? 0 : at + 1;
    (lower.holds(at) ? lower : upper).settle(at);
    if (upper.size === 0) return x;
    if (values[lower.top]! > values[upper.top]!) swapTops(lower, upper);
    const low = values[lower.top]!;
    // Whichever of 0 and -0 lies on top, what comes out is 0.
    return lower.size > upper.size ? low + 0 : (low + values[upper.top]!) / 2 + 0;
  }

  /** Forgets all input so far: as if it had always been 0. */
  reset(): void {
    this.prime(0);
  }

  /** The state after an endless input of x: with equal values any order is a valid heap. */
  prime(x: number): void {
    this.values.fill(x);
    this.at = 0;
  }
}

/** Only the changed sample can stand in the wrong half, and only as that half's top. */
function swapTops(lower: SlotHeap, upper: SlotHeap): void {
  const low = lower.top;
  lower.putOnTop(upper.top);
  upper.putOnTop(low);
}

/** A binary heap of slots of the window that knows the place of each slot. */
class SlotHeap {
  readonly size: number;
  private readonly values: Float64Array;
  /** Place of each slot of the window; shared by both heaps, the upper one's places begin at `first`. */
  private readonly places: Int32Array;
  private readonly slots: Int32Array;
  private readonly first: number;
  /** 1: the lowest is on top; -1: the highest. */
  private readonly sign: 1 | -1;

  constructor(values: Float64Array, places: Int32Array, first: number, size: number, sign: 1 | -1) {
    this.size = size;
    this.values = values;
    this.places = places;
    this.first = first;
    this.sign = sign;
    this.slots = Int32Array.from({ length: size }, (_, k) => first + k);
    for (let k = 0; k < size; ++k) places[first + k] = first + k;
  }

  /** The slot whose value is on top. */
  get top(): number {
    return this.slots[0]!;
  }

  holds(slot: number): boolean {
    const k = this.places[slot]! - this.first;
    return k >= 0 && k < this.size;
  }

  /** Moves a slot whose value has changed to its place. */
  settle(slot: number): void {
    this.sink(this.rise(this.places[slot]! - this.first, slot), slot);
  }

  /** A slot of the other heap takes the top's place. */
  putOnTop(slot: number): void {
    this.sink(0, slot);
  }

  private rise(from: number, slot: number): number {
    let k = from;
    while (k > 0) {
      const parent = (k - 1) >> 1;
      if (!this.isBefore(slot, this.slots[parent]!)) break;
      this.put(k, this.slots[parent]!);
      k = parent;
    }
    return k;
  }

  private sink(from: number, slot: number): void {
    let k = from;
    for (let child = 2 * k + 1; child < this.size; child = 2 * k + 1) {
      if (child + 1 < this.size && this.isBefore(this.slots[child + 1]!, this.slots[child]!)) ++child;
      if (!this.isBefore(this.slots[child]!, slot)) break;
      this.put(k, this.slots[child]!);
      k = child;
    }
    this.put(k, slot);
  }

  private put(k: number, slot: number): void {
    this.slots[k] = slot;
    this.places[slot] = this.first + k;
  }

  private isBefore(a: number, b: number): boolean {
    return this.sign * this.values[a]! < this.sign * this.values[b]!;
  }
}
