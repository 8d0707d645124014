import type { ComponentChildren } from 'preact';
import { takesInScope } from '../../state/takeInputs.ts';
import type { Job, Progress } from '../../sweep/jobs.ts';
import type { JobState } from '../../sweep/useJob.ts';
import { FitnessLine } from '../FitnessLine.tsx';
import { LabelDoubts } from '../labels/LabelDoubts.tsx';
import { JobBar } from './JobBar.tsx';
import { MapTabs } from './SweepParts.tsx';
import { TakeScopePicker } from './TakeScopePicker.tsx';

/** What every map of Sweep has about it: which map, which takes, how far the job is, and what speaks against the takes. */
export function SweepFrame(props: {
  readonly job: JobState<Job>;
  /** How many takes are looked at. */
  readonly takes: number;
  /** What the guard is judged by. */
  readonly by?: 'presses' | 'motion';
  /** A choice of the view's own, in the bar. */
  readonly choice?: ComponentChildren;
  /** What stands below the grid. */
  readonly foot?: ComponentChildren;
  readonly children: ComponentChildren;
}) {
  const { job, takes, by, choice, foot, children } = props;
  return (
    <div class="sweep" data-judged={by === 'motion' ? by : undefined}>
      <div class="view-bar">
        <MapTabs />
        <TakeScopePicker />
        {choice}
        <JobBar job={job} />
      </div>
      {takes === 0 && <p class="empty">No take is chosen. Tick at least one.</p>}
      <FitnessLine takes={takesInScope.value} />
      {job.isCurrent && <LabelDoubts takes={doubtsOf(job.value, takes)} />}
      <div class={`sweep-grid ${job.isCurrent ? '' : 'is-old'}`} aria-busy={!job.isCurrent}>
        {!job.isCurrent && job.value && job.status === 'running' && <p class="old-note">Recalculating…</p>}
        {children}
      </div>
      {foot}
    </div>
  );
}

/** Takes are named where there are several. */
function doubtsOf(value: Progress | null, takes: number) {
  return (value?.doubtful ?? []).map(({ title, doubts }) => ({ title: takes > 1 ? title : '', doubts }));
}
