import { deflectionPressesOf, powerPressesOf } from '../../server/engine/base/buttons.ts';
import type { JobTake } from '../sweep/jobs.ts';
import type { Piece } from '../sweep/piece.ts';
import { basisOf, documents } from './documents.ts';
import type { Request } from './requests.ts';

/** What is asked of a take that a sweep needs a piece of, with all of its document that the piece rests on. */
export async function pieceRequest(take: JobTake, piece: Piece): Promise<Request<'piece'>> {
  const { id, title, performer, labels, unfit } = take;
  const document = await documents.read(id, take.revision);
  const { calibration } = document;
  const input = {
    id,
    title,
    performer,
    calibration,
    presses: powerPressesOf(document),
    allPresses: document.presses,
    deflectionPresses: deflectionPressesOf(document),
    labels: labels ?? document.labels,
    unfit,
  };
  return { kind: 'piece', takeId: id, calibration, basis: basisOf(document), input, piece };
}
