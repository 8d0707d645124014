import { signal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { bringIn } from '../state/receiving.ts';

const isOver = signal(false);

/** Files may be dropped anywhere on the page. */
export function DropZone() {
  useEffect(() => {
    const listeners = new AbortController();
    const { signal: until } = listeners;
    const hasFiles = (event: DragEvent): boolean => [...(event.dataTransfer?.types ?? [])].includes('Files');
    addEventListener(
      'dragover',
      (event) => {
        if (!hasFiles(event)) return;
        event.preventDefault();
        isOver.value = true;
      },
      { signal: until },
    );
    addEventListener(
      'dragleave',
      (event) => {
        if (event.relatedTarget === null) isOver.value = false;
      },
      { signal: until },
    );
    addEventListener(
      'drop',
      (event) => {
        if (!hasFiles(event)) return;
        event.preventDefault();
        isOver.value = false;
        bringIn([...(event.dataTransfer?.files ?? [])]);
      },
      { signal: until },
    );
    return () => listeners.abort();
  }, []);
  return isOver.value ? (
    // A popover, so that an open dialog does not hide it.
    <div class="drop-zone" popover="manual" ref={(zone) => zone?.showPopover()}>
      Drop logs, or a zip of takes, to add them
    </div>
  ) : null;
}
