import type { ComparedTake } from '../../compare/comparison.ts';

export type Grouping = 'performer' | 'prop' | 'session' | 'take';

const UNNAMED: Readonly<Record<Grouping, string>> = {
  performer: 'No performer named',
  prop: 'No prop named',
  session: 'No session named',
  take: '',
};

/** What a take is grouped under. */
export function groupOf(take: ComparedTake, grouping: Grouping): string {
  return (grouping === 'take' ? take.title : take[grouping].trim()) || UNNAMED[grouping];
}

/** Whether takes count one by one or together; by prop and session where any take names one. */
export function GroupingChoice(props: {
  readonly name: string;
  readonly grouping: Grouping;
  readonly takes: readonly ComparedTake[];
  onChange(grouping: Grouping): void;
}) {
  const { takes, grouping } = props;
  const offered = (['performer', 'prop', 'session', 'take'] as const).filter(
    (one) => one === 'performer' || one === 'take' || takes.some((take) => take[one] !== ''),
  );
  return (
    <span class="choices" role="group" aria-label={props.name}>
      {offered.map((one) => (
        <button
          key={one}
          type="button"
          class="small"
          aria-pressed={grouping === one}
          onClick={() => props.onChange(one)}
        >
          by {one}
        </button>
      ))}
    </span>
  );
}
