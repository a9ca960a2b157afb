// The whole page, and the keys.

import { effect, useSignal, useSignalEffect } from "@preact/signals";
import { useLayoutEffect } from "preact/hooks";

import type { Action } from "../state/actions/action";
import { actionFor, pageOrder } from "../state/keys";
import type { App } from "../state/app";
import { text } from "../text";
import { AppContext } from "./app-context";
import { attend, focusFloor, focusSheet, keepFocus, onceDrawn } from "./focus";
import { Dialogs } from "./dialogs/Dialogs";
import { Floor } from "./floor/Floor";
import type { FloorLink, LinkHolder } from "./floor/link";
import { Header } from "./Header";
import { Sheet } from "./Sheet";
import { Trestle } from "./Trestle";

export function Page({ app, link }: { app: App; link: LinkHolder }) {
  const dropping = useSignal(false);

  // In the layout effect, so that a page that shows itself already hears its keys.
  useLayoutEffect(() => {
    const key = (event: KeyboardEvent): void => {
      if (event.defaultPrevented || event.isComposing) return;
      const order = pageOrder(event);
      if (order !== null) {
        // Also where it cannot be done now: the browser would save or print the page itself.
        event.preventDefault();
        if (!order.enabled(app)) return;
        // Saving is done under an open window, which stays; the others bring one of their own.
        if (order.id !== "save") app.dialog.value = null;
        order.run(app);
        return;
      }
      // A window that is open has its own keys, and the browser closes it by Escape.
      if (app.dialog.value !== null) return;
      if (app.letterKeys.value && turnsHeld(event, link.current)) return event.preventDefault();
      if (keepsKeys(event)) return;
      // A figure that is typed while drawing begins a size.
      if (app.drawing.seen.value !== null && /^[-\d]$/.test(event.key) && !event.ctrlKey && !event.metaKey && !event.altKey) {
        document.querySelector<HTMLInputElement>("[data-draw-field]")?.focus();
        return;
      }
      const action = actionFor(event, app);
      if (action === null || !mayRun(action, event)) return;
      if (event.repeat && action.once === true) return event.preventDefault();
      event.preventDefault();
      action.run(app);
    };
    window.addEventListener("keydown", key);

    const hasFiles = (event: DragEvent): boolean => event.dataTransfer?.types.includes("Files") ?? false;
    const over = (event: DragEvent): void => {
      if (!hasFiles(event)) return;
      event.preventDefault();
      dropping.value = true;
    };
    const leave = (event: DragEvent): void => {
      if (event.relatedTarget === null) dropping.value = false;
    };
    const drop = (event: DragEvent): void => {
      if (!hasFiles(event)) return;
      event.preventDefault();
      dropping.value = false;
      // What was typed into a field counts before another job takes its place.
      if (document.activeElement instanceof HTMLElement) document.activeElement.blur();
      const dropped = [...(event.dataTransfer?.files ?? [])];
      const photos = dropped.filter((file) => file.type.startsWith("image/") && file.type !== "image/svg+xml");
      if (photos.length > 0) {
        app.files.passOver(dropped.filter((file) => !photos.includes(file)));
        app.photographing.take(photos);
        app.dialog.value = "photograph";
      } else void app.files.take(dropped);
    };
    window.addEventListener("dragover", over);
    window.addEventListener("dragleave", leave);
    window.addEventListener("drop", drop);
    return () => {
      window.removeEventListener("keydown", key);
      window.removeEventListener("dragover", over);
      window.removeEventListener("dragleave", leave);
      window.removeEventListener("drop", drop);
    };
  }, []);

  useLayoutEffect(keepFocus, []);

  // Not as a signal effect of a component, which waits for the next frame: a key may come before it, and
  // the focus would then be taken back from the field that the key led to.
  useLayoutEffect(
    () =>
      effect(() => {
        const wish = app.desk.attention.value;
        if (wish !== null) onceDrawn(() => attend(wish));
      }),
    [],
  );

  useSignalEffect(() => {
    const page = document.getElementById("page");
    if (page !== null) page.dataset["place"] = app.desk.place.value;
  });

  useSignalEffect(() => {
    const title = app.desk.state.value.title;
    document.title = title === "" ? text.page.product : text.page.titled(title);
  });

  return (
    <AppContext.Provider value={app}>
      <SkipLinks />
      <Header />
      <Floor link={link} />
      <Trestle link={link} />
      <Sheet />
      <Dialogs />
      <div class="narrow-hidden-text" role="status" aria-live="polite" data-spoken>
        {app.desk.spoken.value}
      </div>
      {dropping.value && <div class="drop-here">{text.files.dropHere}</div>}
    </AppContext.Provider>
  );
}

/** The first two stops of Tab: past the header, straight to the work. */
function SkipLinks() {
  const skip = (go: () => void) => (event: Event) => {
    event.preventDefault();
    go();
  };
  return (
    <nav class="skip" aria-label={text.page.skip}>
      <a href="#floor" onClick={skip(focusFloor)}>
        {text.page.toFloor}
      </a>
      <a href="#sheet" onClick={skip(focusSheet)}>
        {text.page.toSheet}
      </a>
    </nav>
  );
}

/** Whether what has the focus takes this key itself: text, and the letters by which a choice is found. */
function keepsKeys(event: KeyboardEvent): boolean {
  const from = event.target instanceof HTMLElement ? event.target.closest("input, textarea, select, [contenteditable]") : null;
  if (from === null) return false;
  const isText = !(from instanceof HTMLSelectElement) && !(from instanceof HTMLInputElement && !takesText(from));
  if (isText) return true;
  if (event.ctrlKey || event.metaKey) return false;
  // Boxes are ticked by space alone; choices take letters and arrows.
  return !(from instanceof HTMLInputElement && from.type === "checkbox") || event.key === " " || event.key === "Enter";
}

function takesText(input: HTMLInputElement): boolean {
  return !["checkbox", "radio", "button", "range", "file"].includes(input.type);
}

/** While a part is in the hand, the keys for turning turn it there. */
function turnsHeld(event: KeyboardEvent, link: FloorLink | null): boolean {
  if (link === null || !link.busy() || event.ctrlKey || event.metaKey || event.altKey) return false;
  switch (event.key) {
    case "r":
      return link.turnHeld(90);
    case "R":
      return link.turnHeld(-90);
    case "[":
      return link.turnHeld(0.5);
    case "]":
      return link.turnHeld(-0.5);
    case "f":
    case "F":
      return link.turnHeldOver();
    default:
      return false;
  }
}

/** A pressed button keeps its own keys: space and Enter press it, arrows scroll the sheet. */
function mayRun(action: Action, event: KeyboardEvent): boolean {
  const from = event.target;
  if (!(from instanceof Element)) return true;
  if (event.key === "Enter" && from.closest("button, a, summary") !== null) return false;
  const inSheet = from.closest(".sheet, .dialog") !== null;
  return !(inSheet && event.key.startsWith("Arrow") && action.group === "part" && from.closest(".part-buttons") === null);
}
