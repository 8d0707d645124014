import type { Piece } from './piece.ts';

/** Value, rate and acceleration of one path over a run of equal steps. */
export interface PathBlock {
  readonly value: Float64Array;
  readonly rate: Float64Array;
  readonly accel: Float64Array;
}

export function pathBlock(length: number): PathBlock {
  return {
    value: new Float64Array(length),
    rate: new Float64Array(length),
    accel: new Float64Array(length),
  };
}

/** One path, the sum of its pieces; pieces may overlap. */
export class Track {
  private readonly pieces: Piece[] = [];
  private readonly at = new Float64Array(3);

  add(piece: Piece): void {
    this.pieces.push(piece);
  }

  get isEmpty(): boolean {
    return this.pieces.length === 0;
  }

  /** Where the path comes to rest once every piece so far is over. */
  settled(): number {
    let sum = 0;
    for (const piece of this.pieces) sum += piece.after;
    return sum;
  }

  /** Where the path is at one moment. */
  valueAt(tS: number): number {
    this.at.fill(0);
    let ended = 0;
    for (const piece of this.pieces) {
      if (tS > piece.endS) ended += piece.after;
      else if (tS >= piece.startS) piece.add(tS, this.at);
    }
    return ended + this.at[0]!;
  }

  /** Fills `out` with the samples `first, first + 1, ...` of a grid of `hz`. */
  sample(first: number, hz: number, out: PathBlock): void {
    out.value.fill(0);
    out.rate.fill(0);
    out.accel.fill(0);
    const length = out.value.length;
    for (const piece of this.pieces) {
      if (piece.startS * hz < first + length) this.samplePiece(piece, first, hz, out);
    }
  }

  private samplePiece(piece: Piece, first: number, hz: number, out: PathBlock): void {
    const { at } = this;
    const length = out.value.length;
    let i = Math.max(0, Math.ceil(piece.startS * hz) - first);
    for (; i < length; ++i) {
      const tS = (first + i) / hz;
      if (tS > piece.endS) break;
      // not `fill`, whose call takes longer than the sample
      at[0] = at[1] = at[2] = 0;
      piece.add(tS, at);
      out.value[i]! += at[0];
      out.rate[i]! += at[1];
      out.accel[i]! += at[2];
    }
    if (piece.after === 0) return;
    for (; i < length; ++i) out.value[i]! += piece.after;
  }
}
