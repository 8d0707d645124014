import { signal } from '@preact/signals';

/** A sentence for the user at the foot of the page; `action` is one thing they can do about it. */
export interface Notice {
  readonly id: number;
  readonly kind: 'fact' | 'error';
  readonly text: string;
  readonly action?: { readonly label: string; run(): void };
  /** A newer notice on the same topic takes its place. */
  readonly topic: string;
}

export const notices = signal<readonly Notice[]>([]);
let lastId = 0;

/** Facts shown at a time, the newest; an error stays until it is closed. */
const MOST_FACTS = 3;
const FACT_MS = 8000;

/** Shows a notice; facts leave by themselves. @returns its id, to dismiss it by */
export function notify(
  kind: Notice['kind'],
  text: string,
  action?: Notice['action'],
  topic: string = text,
): number {
  const notice: Notice = { id: ++lastId, kind, text, topic, ...(action ? { action } : {}) };
  const others = notices.value.filter((other) => other.topic !== topic);
  const errors = others.filter((other) => other.kind === 'error');
  const facts = others.filter((other) => other.kind === 'fact');
  notices.value =
    kind === 'fact' ? [...errors, ...[...facts, notice].slice(-MOST_FACTS)] : [...errors, notice, ...facts];
  if (kind === 'fact') setTimeout(() => dismiss(notice.id), FACT_MS);
  return notice.id;
}

export function dismiss(id: number): void {
  notices.value = notices.value.filter((notice) => notice.id !== id);
}

export function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
