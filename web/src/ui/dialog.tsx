// A dialog over everything, closed by Escape, by its button, or by a click outside.

import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { dialog } from './state';

export function Modal({ title, children, kind = '', bare = false }: { title: string; children: ComponentChildren; kind?: string; bare?: boolean }) {
  const box = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    const before = document.activeElement;
    box.current!.showModal();
    return () => {
      if (before instanceof HTMLElement) before.focus();
    };
  }, []);
  const close = () => (dialog.value = null);
  return (
    <dialog ref={box} class={`modal ${kind}`} aria-label={title} onClose={close} onClick={(e) => e.target === box.current && close()}>
      <div class="modal-body">
        {!bare && (
          <div class="modal-head">
            <h2>{title}</h2>
            <button class="quiet" onClick={close}>
              Close
            </button>
          </div>
        )}
        {children}
      </div>
    </dialog>
  );
}
