import { useMemo } from 'preact/hooks';
import type { BladePath } from '../../../server/engine/motion/bladePath.ts';
import type { OpenTake } from '../../state/openTake.ts';
import { Question, useQuestion } from '../../takes/question.ts';
import { calibratedOf, type Request } from '../../takes/requests.ts';

/** Asked only while a replay is in sight: not every take that is opened is looked at so. */
const blade = new Question<'blade'>('view');

/** Where the blade of the open take pointed; null until that is computed, or with the reason why it cannot be. */
export function useBladePath({ document }: OpenTake): {
  readonly path: BladePath | null;
  readonly error: string | null;
} {
  const asked = calibratedOf(document);
  const { takeId } = asked;
  const request = useMemo<Request<'blade'>>(() => ({ kind: 'blade', ...asked }), [JSON.stringify(asked)]);
  const known = useQuestion(blade, request);
  const isThis = known.isCurrent && known.of?.takeId === takeId;
  return { path: isThis ? known.value : null, error: known.error };
}
