import { labelDoubts } from '../../server/engine/labels/labelDoubts.ts';
import { doubtTexts } from '../../server/engine/words/labels.ts';
import { CHOICE_WORK } from './choiceJobs.ts';
import type { TakeInput } from './jobs.ts';
import type { Piece, PieceWork } from './piece.ts';
import { reversalsIn } from './reversalsJob.ts';

/** How a piece of whatever job is found on a take. */
export function workOn(piece: Piece, input: TakeInput): PieceWork {
  switch (piece.what) {
    case 'part':
      return CHOICE_WORK[piece.job.kind].partWork(piece.job, input);
    case 'check':
      return CHOICE_WORK[piece.job.kind].checkWork(piece.job, input, piece.at);
    case 'reversals':
      return reversalsIn(input, piece.job);
  }
}

export function doubtsOf({ labels }: TakeInput): string[] {
  return doubtTexts(labelDoubts(labels));
}
