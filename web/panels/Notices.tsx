import { dismiss, notices } from '../state/notices.ts';

/** Sentences at the foot of the page. */
export function Notices() {
  return (
    <div class="notices" aria-live="polite">
      {notices.value.map((notice) => (
        <div
          key={notice.id}
          class={`notice is-${notice.kind}`}
          role={notice.kind === 'error' ? 'alert' : 'status'}
        >
          <span>{notice.text}</span>
          {notice.action && (
            <button
              type="button"
              class="small"
              onClick={() => {
                dismiss(notice.id);
                notice.action?.run();
              }}
            >
              {notice.action.label}
            </button>
          )}
          <button type="button" class="small" aria-label="Put away" onClick={() => dismiss(notice.id)}>
            ✕
          </button>
        </div>
      ))}
    </div>
  );
}
