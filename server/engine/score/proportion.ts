import type { LabelBy } from '../labels/labels.ts';
import { type Interval, wilsonInterval } from '../statistics/wilson.ts';

/** k of n, with its Wilson 95 % interval (null where n = 0), and how many of the n rest on whose labels. */
export interface Proportion {
  readonly k: number;
  readonly n: number;
  readonly interval: Interval | null;
  readonly byPerson: number;
  /** Those of the program and of simulated takes. */
  readonly byProgram: number;
}

/** Counts up a proportion. */
export class Tally {
  private k = 0;
  private n = 0;
  private byPerson = 0;

  add(isHit: boolean, by: LabelBy): void {
    if (isHit) ++this.k;
    ++this.n;
    if (by === 'person') ++this.byPerson;
  }

  proportion(): Proportion {
    const { k, n, byPerson } = this;
    return { k, n, interval: wilsonInterval(k, n), byPerson, byProgram: n - byPerson };
  }
}
