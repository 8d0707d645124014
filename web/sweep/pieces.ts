import { labelDoubts } from '../../server/engine/labels/labelDoubts.ts';
import { doubtTexts } from '../../server/engine/words/labels.ts';
import { CHOICE_WORK } from './choiceJobs.ts';
import type { JobTake, TakeInput } from './jobs.ts';
import type { FindPiece, FoundPiece, Piece } from './piece.ts';
import { reversalsIn } from './reversalsJob.ts';

/** How a piece of whatever job is found on a take. */
export function workOn(piece: Piece, input: TakeInput): FindPiece {
  switch (piece.what) {
    case 'part':
      return CHOICE_WORK[piece.job.kind].partWork(piece.job, input);
    case 'check':
      return CHOICE_WORK[piece.job.kind].checkWork(piece.job, input, piece.at);
    case 'reversals':
      return reversalsIn(input, piece.job);
  }
}

/** All that a piece rests on besides its take's content: its settings, and what its take is called in it. */
export function restsOn(piece: Piece, take: Pick<JobTake, 'id' | 'title' | 'performer' | 'unfit'>): unknown {
  const { id, title, performer, unfit } = take;
  return ['piece', settingsOf(piece), id, title, performer, unfit];
}

function settingsOf(piece: Piece): unknown {
  switch (piece.what) {
    case 'part':
      return ['part', CHOICE_WORK[piece.job.kind].settingsKey(piece.job)];
    case 'check':
      return ['check', CHOICE_WORK[piece.job.kind].settingsKey(piece.job), piece.at];
    case 'reversals':
      return ['reversals', piece.job.smoothing, piece.job.guard];
  }
}

/** A piece of a take, with what contradicts itself in the take's labels. */
export function foundPiece({ labels }: TakeInput, value: unknown): FoundPiece {
  return { doubts: doubtTexts(labelDoubts(labels)), value };
}
