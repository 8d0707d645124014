import { dismiss, type Notice, notices } from '../state/notices.ts';

/** Sentences at the foot of the page: errors have a place of their own, facts pass over what is above it. */
export function Notices() {
  const of = (kind: Notice['kind']) => notices.value.filter((notice) => notice.kind === kind);
  return (
    <div class="notices">
      <div class="notices-passing" aria-live="polite">
        {of('fact').map((notice) => (
          <Sentence key={notice.id} notice={notice} />
        ))}
      </div>
      <div class="notices-staying">
        {of('error')
          .reverse()
          .map((notice) => (
            <Sentence key={notice.id} notice={notice} />
          ))}
      </div>
    </div>
  );
}

function Sentence({ notice }: { readonly notice: Notice }) {
  const { id, kind, text, action } = notice;
  return (
    <div class={`notice is-${kind}`} role={kind === 'error' ? 'alert' : 'status'}>
      <span>{text}</span>
      {action && (
        <button
          type="button"
          class="small"
          onClick={() => {
            dismiss(id);
            action.run();
          }}
        >
          {action.label}
        </button>
      )}
      <button type="button" class="small" aria-label="Put away" onClick={() => dismiss(id)}>
        ✕
      </button>
    </div>
  );
}
