/** How even times keep to stamps. */
interface Pull {
  /** Stamps further from the even steps than this mean that rows are missing, or that the clock began anew. */
  readonly awayUs: number;
  /** The part of its distance from the stamps by which the even time is drawn to them at each row. */
  readonly drawn: number;
}

const BUNCHES: Pull = { awayUs: 500_000, drawn: 0.01 };
const LEAST_AWAY_US = 2000;

/** Times of rows as they come, of stamps that come in bunches, are cut to a coarse grid, or are not there at all. */
export class EvenClock {
  private readonly stepUs: number;
  private readonly pull: Pull;
  private beforeUs: number | null = null;

  /** @param isCut  whether the stamps are cut to a grid; else they come in bunches */
  constructor(rateHz: number, isCut: boolean) {
    this.stepUs = 1e6 / rateHz;
    this.pull = isCut ? { awayUs: Math.max(1.5 * this.stepUs, LEAST_AWAY_US), drawn: 0.2 } : BUNCHES;
  }

  /** @param stampUs  NaN where there is none */
  step(stampUs: number): number {
    const dueUs = this.beforeUs === null ? 0 : this.beforeUs + this.stepUs;
    this.beforeUs = this.timeOf(stampUs, dueUs);
    return this.beforeUs;
  }

  private timeOf(stampUs: number, dueUs: number): number {
    if (Number.isNaN(stampUs)) return dueUs;
    const awayUs = stampUs - dueUs;
    if (this.beforeUs === null || Math.abs(awayUs) > this.pull.awayUs) return stampUs;
    return dueUs + this.pull.drawn * awayUs;
  }
}
