import { useEffect, useMemo } from 'preact/hooks';
import { chosenTakeId } from '../state/store.ts';
import { desk } from '../takes/desk.ts';
import { type Known, Question, useQuestion } from '../takes/question.ts';
import type { Request } from '../takes/requests.ts';
import type { Job, ValueOf } from './jobs.ts';

/** What has been found so far; of an older job, and not current, while the new one has found nothing yet. */
export interface JobState<J extends Job> extends Pick<Known<'sweep'>, 'isCurrent' | 'status' | 'error'> {
  readonly value: ValueOf<J> | null;
  stop(): void;
  goOn(): void;
}

/** One for each kind of job: a view that comes back shows what was found last. */
const questions = new Map<Job['kind'], Question<'sweep'>>();

function questionOf(kind: Job['kind']): Question<'sweep'> {
  const question = questions.get(kind) ?? new Question('view', ({ job }: Request<'sweep'>) => job);
  questions.set(kind, question);
  return question;
}

/** Runs a job whenever it changes in content; null runs none. Give the same object while nothing has changed. */
export function useJob<J extends Job>(kind: J['kind'], job: J | null): JobState<J> {
  // So that the threads are there when the first take is to be read.
  useEffect(() => {
    desk.makeReady('sweep');
    desk.makeReady('piece');
  }, []);
  const question = questionOf(kind);
  const request = useMemo<Request<'sweep'> | null>(
    () => job && { kind: 'sweep', job, firstId: chosenTakeId.peek() },
    [job],
  );
  const { value, isCurrent, status, error } = useQuestion(question, request);
  return {
    value: value as ValueOf<J> | null,
    isCurrent,
    status,
    error,
    stop: question.stop,
    goOn: question.goOn,
  };
}
