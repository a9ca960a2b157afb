// A window over the page: the browser's own dialog, which keeps the focus inside and
// closes by Escape.

import type { ComponentChildren } from "preact";
import { useLayoutEffect, useRef } from "preact/hooks";

import { pageOrder } from "../../state/keys";
import { useApp } from "../app-context";
import { text } from "../../text";

export function Dialog({
  heading,
  close,
  class: extra = "",
  children,
}: {
  heading: string;
  close: () => void;
  class?: string;
  children: ComponentChildren;
}) {
  const { desk } = useApp();
  const element = useRef<HTMLDialogElement>(null);
  useLayoutEffect(() => {
    const dialog = element.current;
    if (dialog === null) return;
    const before = document.activeElement;
    if (!dialog.open) dialog.showModal();
    // A browser may close it without asking first (a second Escape in a row).
    const closed = (): void => close();
    dialog.addEventListener("close", closed);
    return () => {
      dialog.removeEventListener("close", closed);
      dialog.close();
      if (before instanceof HTMLElement || before instanceof SVGElement) before.focus({ preventScroll: true });
    };
  }, []);
  return (
    <dialog
      ref={element}
      class={`dialog ${extra}`}
      aria-label={heading}
      onCancel={(event) => {
        event.preventDefault();
        close();
      }}
      onPointerDown={(event) => {
        if (event.target === element.current) close();
      }}
      onKeyDown={(event) => {
        if (event.key !== "Escape" && pageOrder(event) === null) event.stopPropagation();
      }}
    >
      <div class="dialog-inner">
        <div class="sheet-head">
          <h2>{heading}</h2>
          <button type="button" class="button quiet" onClick={close}>
            {text.page.close}
          </button>
        </div>
        {children}
      </div>
      {/* What is said on the page behind an open window is not heard. */}
      <div class="narrow-hidden-text" role="status" aria-live="polite">
        {desk.spoken.value}
      </div>
    </dialog>
  );
}
