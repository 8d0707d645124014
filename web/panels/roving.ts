const STEPS: Readonly<Record<string, number>> = { ArrowDown: 1, ArrowRight: 1, ArrowUp: -1, ArrowLeft: -1 };

/**
 * Arrow keys, Home and End move the focus among the parts of a list, which is one stop of the Tab key: exactly one of its
 * parts has `tabIndex` 0.
 * @param parts  selects them, in their order
 */
export function moveFocus(event: KeyboardEvent, parts: string): void {
  const all = [...document.querySelectorAll<HTMLElement>(parts)].filter((part) => part.checkVisibility());
  const at = all.indexOf(event.currentTarget as HTMLElement);
  const step = STEPS[event.key];
  const to = event.key === 'Home' ? 0 : event.key === 'End' ? all.length - 1 : step && at + step;
  if (to === undefined || event.ctrlKey || event.metaKey || event.altKey) return;
  event.preventDefault();
  all[Math.min(all.length - 1, Math.max(0, to))]?.focus();
}
