import { signal } from '@preact/signals';

/** A sentence for the user at the foot of the page; `action` is one thing they can do about it. */
export interface Notice {
  readonly id: number;
  readonly kind: 'fact' | 'error';
  readonly text: string;
  readonly action?: { readonly label: string; run(): void };
}

export const notices = signal<readonly Notice[]>([]);
let lastId = 0;

/** Shows a notice; facts leave by themselves, errors stay until they are put away. */
export function notify(kind: Notice['kind'], text: string, action?: Notice['action']): void {
  const notice: Notice = { id: ++lastId, kind, text, ...(action ? { action } : {}) };
  notices.value = [...notices.value.filter((other) => other.text !== text), notice];
  if (kind === 'fact') setTimeout(() => dismiss(notice.id), 8000);
}

export function dismiss(id: number): void {
  notices.value = notices.value.filter((notice) => notice.id !== id);
}

export function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
