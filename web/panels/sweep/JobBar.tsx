import { counted } from '../../../server/engine/words/count.ts';
import type { Job, Progress } from '../../sweep/jobs.ts';
import type { JobState } from '../../sweep/useJob.ts';

/** How far a job is, with a way to stop it and to go on. */
export function JobBar({ job }: { readonly job: JobState<Job> }) {
  const { value, status } = job;
  const progress = job.isCurrent ? value : null;
  return (
    <>
      <span class="job" role="status" data-job={status}>
        {status === 'running' && (
          <>
            <progress value={partOf(progress)} aria-label="Progress" />
            <span class="quiet">{runningText(progress)}</span>
            <button type="button" class="small" onClick={job.stop}>
              Stop
            </button>
          </>
        )}
        {status === 'stopped' && (
          <>
            <span class="quiet">
              Stopped{progress ? ` after ${progress.done} of ${counted(progress.total, 'take')}` : ''}.
            </span>
            <button type="button" class="small" onClick={job.goOn}>
              Go on
            </button>
          </>
        )}
        {status === 'failed' && <span class="caution">{job.error}</span>}
        {status === 'done' && progress && <span class="quiet">{counted(progress.total, 'take')}</span>}
      </span>
      {(progress?.failed ?? []).map(({ title, message }) => (
        <p key={`${title}: ${message}`} class="caution-line">
          {title}: {message}
        </p>
      ))}
    </>
  );
}

function partOf(progress: Progress | null): number {
  if (progress === null || progress.total === 0) return 0;
  const part = progress.done / progress.total;
  return progress.stage === 'sweeping' ? 0.7 * part : 0.7 + 0.3 * part;
}

function runningText(progress: Progress | null): string {
  if (progress === null) return 'Reading…';
  const what = progress.stage === 'sweeping' ? 'Swept' : 'Checked';
  return `${what} ${progress.done} of ${counted(progress.total, 'take')}`;
}
