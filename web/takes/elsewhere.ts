import type { JobTake } from '../sweep/jobs.ts';
import type { AnsweredPiece, Piece } from '../sweep/piece.ts';
import { type FromThread, STOPPED, Stopped } from './requests.ts';

/** Has pieces of a sweep found: the page reads the take's document, and has the thread find it that is free first. */
export class Elsewhere {
  private readonly send: (news: FromThread) => void;
  /** By the names of their answers. */
  private readonly wanted = new Map<number, (found: AnsweredPiece | string) => void>();
  private lastPlace = 0;

  constructor(send: (news: FromThread) => void) {
    this.send = send;
  }

  /** @param id  the sweep's. */
  async find(id: number, take: JobTake, piece: Piece): Promise<AnsweredPiece> {
    const answered = await new Promise<AnsweredPiece | string>((resolve) => {
      const place = ++this.lastPlace;
      this.wanted.set(place, resolve);
      this.send({ type: 'find', id, place, take, piece });
    });
    if (answered === STOPPED) throw new Stopped();
    if (typeof answered === 'string') throw new Error(answered);
    return answered;
  }

  /** @param found  the answer, or why there is none. */
  hear(place: number, found: AnsweredPiece | string): void {
    this.wanted.get(place)?.(found);
    this.wanted.delete(place);
  }
}
