import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { firstTakeId } from '../state/takeScope.ts';
import { startJob, startThread } from './client.ts';
import type { Job, JobValue, ValueOf } from './jobs.ts';

export interface JobState<J extends Job> {
  /** What has been found so far; of an older job while the new one has found nothing yet. */
  readonly value: ValueOf<J> | null;
  readonly isCurrent: boolean;
  readonly status: 'idle' | 'running' | 'stopped' | 'failed' | 'done';
  readonly error: string | null;
  stop(): void;
  goOn(): void;
}

interface Found {
  readonly key: string;
  readonly value: JobValue | null;
  readonly error: string | null;
}

/** A job waits until what it rests on has rested this long; a view's first one does not. */
const REST_MS = 120;

/** What the last job of each kind found: a view that comes back shows it at once. */
const last = new Map<Job['kind'], Found>();

/** Runs a job whenever it changes in content; null runs none. Give the same object while nothing has changed. */
export function useJob<J extends Job>(kind: J['kind'], job: J | null): JobState<J> {
  const key = useMemo(() => (job === null ? null : JSON.stringify(job)), [job]);
  const [found, setFound] = useState<Found | null>(last.get(kind) ?? null);
  const [stoppedKey, setStoppedKey] = useState<string | null>(null);
  const isFirst = useRef(true);
  const isStopped = key !== null && stoppedKey === key;

  useEffect(startThread, []);
  // The key stands for the job.
  useEffect(() => {
    if (job === null || key === null || isStopped) return;
    const kept = last.get(kind);
    if (kept?.key === key && kept.value?.stage === 'done') {
      setFound(kept);
      return;
    }
    const tell = (next: Found): void => {
      last.set(kind, next);
      setFound(next);
    };
    const restMs = isFirst.current ? 0 : REST_MS;
    isFirst.current = false;
    let end = (): void => {};
    const timer = setTimeout(() => {
      end = startJob(job, firstTakeId.peek(), {
        onValue: (value) => tell({ key, value, error: null }),
        onFailed: (error) => tell({ key, value: null, error }),
      });
    }, restMs);
    return () => {
      clearTimeout(timer);
      end();
    };
  }, [key, isStopped]);

  const isCurrent = found !== null && found.key === key;
  return {
    value: (found?.value ?? null) as ValueOf<J> | null,
    isCurrent,
    status: statusOf(key, isStopped, isCurrent ? found : null),
    error: isCurrent ? found.error : null,
    stop: () => setStoppedKey(key),
    goOn: () => setStoppedKey(null),
  };
}

function statusOf(key: string | null, isStopped: boolean, found: Found | null): JobState<Job>['status'] {
  if (key === null) return 'idle';
  if (found?.error != null) return 'failed';
  if (found?.value?.stage === 'done') return 'done';
  return isStopped ? 'stopped' : 'running';
}
