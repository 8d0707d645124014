import type { ComponentChildren } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';

/** A word to press for a few sentences more. Escape, or a press anywhere else, closes them. */
export function Explain(props: { readonly name: string; readonly children: ComponentChildren }) {
  const [isOpen, setIsOpen] = useState(false);
  const place = useRef<HTMLSpanElement>(null);
  useEffect(() => {
    if (!isOpen) return;
    const closing = new AbortController();
    const { signal } = closing;
    addEventListener(
      'keydown',
      (event) => {
        if (event.key !== 'Escape') return;
        event.preventDefault();
        event.stopPropagation();
        setIsOpen(false);
      },
      { signal, capture: true },
    );
    addEventListener(
      'pointerdown',
      (event) => {
        if (!place.current?.contains(event.target as Node)) setIsOpen(false);
      },
      { signal },
    );
    return () => closing.abort();
  }, [isOpen]);
  return (
    <span class="explain" ref={place}>
      <button type="button" aria-expanded={isOpen} onClick={() => setIsOpen(!isOpen)}>
        {props.name}
      </button>
      {isOpen && (
        <span class="explanation" role="note">
          {props.children}
        </span>
      )}
    </span>
  );
}
