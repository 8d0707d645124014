/** Good and bad have colours; most figures are neither. */
export type Tone = 'bad' | 'good' | undefined;

/** One score: A, or A → B, and what has to be known of it. */
export function ScoreRow(props: {
  name: string;
  id: string;
  a: string;
  b: string | null;
  note?: string;
  /** What is told on asking. */
  title?: string;
  toneA?: Tone;
  toneB?: Tone;
  /** The way to what goes wrong, one after another. */
  next?: { readonly name: string; show(): void } | undefined;
}) {
  return (
    <div class="score" data-score={props.id} title={props.title}>
      <dt>{props.name}</dt>
      <dd>
        <span data-slot="a" class={props.toneA}>
          {props.a}
        </span>
        {props.b !== null && (
          <>
            {' → '}
            <span data-slot="b" class={props.toneB}>
              {props.b}
            </span>
          </>
        )}
      </dd>
      {props.note !== undefined && (
        <dd class="note">
          {props.note}
          {props.next && (
            <>
              {' '}
              <button type="button" class="small" onClick={props.next.show}>
                {props.next.name}
              </button>
            </>
          )}
        </dd>
      )}
    </div>
  );
}
