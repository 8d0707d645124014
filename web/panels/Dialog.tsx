import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';

/** A modal dialog; Escape and its cross close it. */
export function Dialog(props: {
  title: string;
  children: ComponentChildren;
  onClose(): void;
  isWide?: boolean;
  /** Holds nothing to work: the keyboard scrolls it. */
  isText?: boolean;
}) {
  const ref = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    ref.current?.showModal();
    return () => ref.current?.close();
  }, []);
  return (
    <dialog
      ref={ref}
      class={props.isWide ? 'is-wide' : ''}
      aria-label={props.title}
      onCancel={(event) => {
        event.preventDefault();
        props.onClose();
      }}
    >
      <header>
        <h2>{props.title}</h2>
        <button type="button" class="small" aria-label="Close" onClick={props.onClose}>
          ✕
        </button>
      </header>
      <div class="dialog-body" {...(props.isText && { tabIndex: 0 })}>
        {props.children}
      </div>
    </dialog>
  );
}
