import { deflectionPressesOf, powerPressesOf } from '../../server/engine/base/buttons.ts';
import type { JobTake } from '../sweep/jobs.ts';
import type { Piece } from '../sweep/piece.ts';
import { contentOf } from './content.ts';
import { documents } from './documents.ts';
import { calibratedOf, type Request } from './requests.ts';

/** What is asked of a take that a sweep needs a piece of, with all of its document that the piece rests on. */
export async function pieceRequest(take: JobTake, piece: Piece): Promise<Request<'piece'>> {
  const { id, title, performer, unfit } = take;
  const document = await documents.read(id, take.revision);
  const labels = take.labels ?? document.labels;
  const { takeId, columns, calibration } = calibratedOf(document);
  const input = {
    id,
    title,
    performer,
    columns,
    calibration,
    presses: powerPressesOf(document),
    allPresses: document.presses,
    deflectionPresses: deflectionPressesOf(document),
    labels,
    unfit,
  };
  const content = await contentOf(document, labels);
  return { kind: 'piece', takeId, columns, calibration, content, input, piece };
}
