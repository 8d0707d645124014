export type Grouping = 'performer' | 'take';

/** Whether takes count one by one or together by performer. */
export function GroupingChoice(props: {
  readonly name: string;
  readonly grouping: Grouping;
  onChange(grouping: Grouping): void;
}) {
  return (
    <span class="choices" role="group" aria-label={props.name}>
      {(['performer', 'take'] as const).map((one) => (
        <button
          key={one}
          type="button"
          class="small"
          aria-pressed={props.grouping === one}
          onClick={() => props.onChange(one)}
        >
          by {one}
        </button>
      ))}
    </span>
  );
}
